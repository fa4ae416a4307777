"""The job book: everything a job has to say, as sections that a page or paper shows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from patterns.hull.table_form import TableForm
from patterns.parts.asked.rules import Boat
from patterns.parts.cautions import Caution
from patterns.parts.whole import Job
from patterns.plates.boat_model import BoatPictures
from patterns.plates.lines.lines_plan import Beside, lines_plan
from patterns.shop.fit.bent_edges import bent_edges
from patterns.shop.nest.sheets import SheetPlan
from patterns.shop.saw.long_bench import BenchPiece
from patterns.shop.stock.buying import NO_YARD, BuyingPlan
from patterns.shop.stock.cut_list import to_be_bought
from patterns.shop.stock.lengths import lengths_by_title
from patterns.units.datums import BASE, HEIGHTS_IN_TOML
from patterns.units.lengths import write_length
from patterns.writing.book.book_buying import buying_section
from patterns.writing.book.book_parts import KnownOfParts, parts_contents, parts_section
from patterns.writing.book.book_wood import wood_section
from patterns.writing.book.book_words import CAUTION, CAUTIONS, order_of_work
from patterns.writing.book.planking_rows import planking_rows
from patterns.writing.report.band_tables import extras_told
from patterns.writing.report.fair_tables import FairedTable, bands_blocks, moves_table, suspects_blocks
from patterns.writing.report.joint_words import joints_told
from patterns.writing.report.report_blocks import (
    Block,
    Bullets,
    Figure,
    Link,
    Links,
    Model,
    Paragraph,
    Section,
    Steps,
    Table,
)

TURNED = (
    "Turn the boat with mouse, finger or arrow keys; + and - come nearer and go further off. Pull it apart to see "
    "every part."
)
PAGE = (250.0, 160.0)  # mm; what each view of the lines drawing fills


@dataclass(frozen=True, slots=True, eq=False)
class Told:
    """What the book tells of beside the job itself."""

    form: TableForm
    defaults: Sequence[tuple[str, str]]  # every key not given, and what was taken
    plan: SheetPlan
    parts: Mapping[str, Sequence[Link]]  # by a part's title, the files made of it
    sheets: Sequence[str]  # files of the plywood sheets
    buying: BuyingPlan = NO_YARD
    pictures: BoatPictures | None = None
    left_off: Sequence[str] = ()  # which patterns have no pages, and how to have them
    index: Sequence[str] = ()  # what index holes are for, where there are any
    worked: Sequence[BenchPiece] = ()  # the long pieces at the bench
    bench: Sequence[Section] = ()  # tables for the bench
    others: Sequence[Link] = ()  # files of the whole job


@dataclass(frozen=True, slots=True)
class Book:
    title: str
    lead: tuple[Block, ...]
    sections: tuple[Section, ...]


def book(job: Job, told: Told) -> Book:
    """Warnings first, then what the work needs in its order."""
    boat, show = job.boat, job.boat.show
    pictures = told.pictures
    known = KnownOfParts(
        files=told.parts,
        show=show,
        bottom=boat.skin.joints[-1] if boat.skin.joints else None,
        lengths=lengths_by_title(job.parts, told.worked),
        bent=bent_edges(job),
        places=pictures.places if pictures else {},
        left_off=told.left_off,
    )
    parts = parts_section(job.parts, known)
    steps = order_of_work(boat, pictures.stages if pictures else {})
    buying = buying_section(told.buying, to_be_bought(told.plan), show)
    sections = (
        Section("The parts in pictures", (*_apart(pictures), parts_contents(parts))),
        _warnings(job),
        _assumed(job, told),
        Section("Order of work", (_ORDER, Steps(steps))),
        parts,
        wood_section(
            job.to_cut, told.plan, told.worked, show, told.sheets, boat.plywood, told.buying, index=told.index
        ),
        *([buying] if buying else []),
        *told.bench,
        _lines(job, told.form),
        Section("Cautions", (Bullets(CAUTIONS),)),
        Section("Files", (Links(tuple(told.others)),)),
    )
    return Book(f"{boat.name}: job book", tuple(_opening(boat, pictures)), sections)


def _opening(boat: Boat, pictures: BoatPictures | None) -> Iterator[Block]:
    if pictures:
        yield Model(pictures.bodies, pictures.whole, TURNED)
    if boat.about:
        yield Paragraph(boat.about)
    yield Paragraph(CAUTION, "caution")


def _apart(pictures: BoatPictures | None) -> Iterator[Block]:
    if pictures:
        yield Figure(pictures.apart, fitted=True, across=True)
        if pictures.left_out:
            yield Paragraph(f"Not shown in the boat: {', '.join(pictures.left_out)}.", "note")


_ORDER = Paragraph("The usual order; where your plan has another, the plan wins. Each step ends with its check.")


def _warnings(job: Job) -> Section:
    if not job.warnings:
        return Section("Warnings", (Paragraph("None. Look at what was moved and what was assumed all the same."),))
    return Section("Warnings", (Bullets(tuple(f"{where}: {text}" for where, text in grouped(job.warnings))),))


def grouped(warnings: Sequence[Caution]) -> Iterator[tuple[str, str]]:
    """Warnings without repeats: everywhere the same is said is named before it, once."""
    places: dict[str, list[str]] = {}
    for one in warnings:
        places.setdefault(one.text, []).append(one.where)
    for text, where in places.items():
        yield "; ".join(dict.fromkeys(where)), text


def _assumed(job: Job, told: Told) -> Section:
    return Section("What was read and assumed", tuple(_assumptions(job, told)))


def _assumptions(job: Job, told: Told) -> Iterator[Block]:
    boat, show, form = job.boat, job.boat.show, told.form
    columns, stations = boat.offsets.columns, len(boat.offsets.stations)
    names = ", ".join(line.name for line in job.lines)
    yield Paragraph(
        f"{form.file}: lines {names} at {stations} stations from {columns[0]} to {columns[-1]}, drawn "
        f"to the {boat.lines_to}; no offset moved further than "
        f"{write_length(boat.fair_within, show)} unless the file says so."
    )
    if extras := tuple(extras_told(boat.offsets, show)):
        yield Paragraph(f"Extra figures, at no station: {'; '.join(extras)}.")
    if form.read_as:
        yield Paragraph(f"{form.file} was read as {form.read_as}.", "note")
    if form.datum != BASE:
        yield Paragraph(f"{form.datum.told(show)} {HEIGHTS_IN_TOML}", "note")
    yield Table(
        "The planking", ("planking", "thick as measured", "material"), tuple(planking_rows(job.boat.skin, show))
    )
    if joints := tuple(joints_told(job)):
        yield Paragraph("Panels longer than their sheets are joined:")
        yield Bullets(joints)
    if told.defaults:
        rows = tuple(told.defaults)
        yield Table("Not given, so these defaults hold: look at each", ("key", "default"), rows)


def _lines(job: Job, form: TableForm) -> Section:
    table = FairedTable(job.boat, form, job.lines, job.cuts, job.suspects, (), job.surface)
    doubts = frozenset(one.place for one in job.suspects)
    smooth = job.hull.smooth
    beside = Beside(doubts, hull=job.surface, planks=smooth.planks if smooth else None)
    views = lines_plan(job.boat, job.lines, job.cuts, paper=PAGE, beside=beside, lettered=False)
    figures = (Figure(view.drawing, f"{view.drawing.title}. {' '.join(view.notes)}") for view in views)
    # How far each line may be out, bay by bay, is in a file of its own.
    bands = (block for block in bands_blocks(table) if not isinstance(block, Table))
    return Section("Lines drawing", (*figures, *suspects_blocks(table), moves_table(table), *bands))
