"""The job book: which files belong to which part, and the book in its two forms."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from patterns.job.boat_job import BoatJob
from patterns.job.products.bench_files import BEVEL_BOARDS, SAW_SET_UPS, SETTING_UP
from patterns.job.products.figure_files import files_by_part
from patterns.job.products.made import Made
from patterns.job.products.paper_files import ROLL, tiles_name
from patterns.job.products.report_paper import on_paper
from patterns.job.shared.page_finding import PageOf
from patterns.parts.part import Part
from patterns.plates.bench.twist_picture import twist_picture
from patterns.plates.lines.lines_plan import Beside, lines_plan
from patterns.plates.lines.without_doubts import BUILT
from patterns.plates.view_field import View
from patterns.shop.built.as_built import AsBuilt
from patterns.writing.book.book_afloat import afloat_section
from patterns.writing.book.book_bench import (
    bevel_section,
    layout_links,
    layout_section,
    moulds_section,
    saw_section,
    setting_up_section,
)
from patterns.writing.book.book_built import built_section
from patterns.writing.book.book_fastening import fastening_section
from patterns.writing.book.book_planks import planks_section
from patterns.writing.book.job_book import PAGE, Book, Told, book
from patterns.writing.report.fit_sections import fit_sections
from patterns.writing.report.report_blocks import Link, Paragraph, Section

HTML, PDF = "book.html", "book.pdf"
_NAMES = (  # what a file of a part is called, by how its path begins and ends
    ("paper/roll.pdf", "", "Roll"),
    ("paper/patterns-", "", "Patterns"),
    ("paper/model-", "", "Card model"),
    ("paper/bevel-boards.pdf", "", "Bevel boards"),
    ("paper/story-sticks", "", "Story stick"),
    ("paper/setting-up.pdf", "", "Setting up"),
    ("paper/saw-set-ups.pdf", "", "Saw set-ups"),
    ("svg/twist-", "", "Twist of the sheet"),
    ("svg/", "-end-block.svg", "Test block of an end"),
    ("svg/", "", "Full-size drawing (SVG)"),
    ("router/", "", "Router file (DXF)"),
    ("tables/", ".svg", "Numbered layout drawing (SVG)"),
    ("tables/cut-list.csv", "", "Cut list (CSV)"),
    ("tables/fastenings.csv", "", "Fastenings (CSV)"),
    ("tables/what-to-buy.csv", "", "What to buy (CSV)"),
    ("paper/what-to-buy.pdf", "", "What to buy"),
    ("tables/bottom-boards.csv", "", "Bottom boards (CSV)"),
    ("tables/edges-that-meet.csv", "", "Edges that meet (CSV)"),
    ("tables/weights.csv", "", "Weights by part (CSV)"),
    ("tables/built-blank.csv", "", "What to measure at the strongback (CSV)"),
    ("paper/old-and-new.pdf", "", "Old and new shapes"),
    ("tables/as-built.csv", "", "As built (CSV)"),
    ("tables/afloat.csv", "", "How she floats (CSV)"),
    ("tables/", "", "Layout table (CSV)"),
    ("job.json", "", "Every figure, unrounded (JSON)"),
    ("offsets-faired.csv", "", "The table as faired (CSV)"),
    (PDF, "", "This book for the wall"),
)


def book_files(job: BoatJob) -> Iterator[str]:
    """For a screen, and for the wall."""
    yield from (HTML, PDF)


def make_book(job: BoatJob, others: Iterable[str]) -> Made:
    """The book; ``others`` are the paths of all other files of the job."""
    from patterns.writing.report.html_page import html_page

    whole = _book(job, sorted(others))
    run = Paragraph(f"Run {job.run_mark}. Use it only with pages, files and tables that carry the same mark.")
    lead = (*whole.lead, run)
    pdf = on_paper(job, whole.title, lead, whole.sections)
    return Made({HTML: html_page(whole.title, lead, whole.sections), PDF: pdf})


def _book(job: BoatJob, written: Sequence[str]) -> Book:
    layout = layout_section(job.tables)
    links = _links(job, layout, written)
    sheets = tuple(path for path in written if "/sheet-" in path or path.endswith(".toml"))
    linked = {*sheets, *(link.target.partition("#")[0] for some in links.values() for link in some)}
    told = Told(
        form=job.read.table,
        defaults=tuple((default.key, default.value) for default in job.read.defaults),
        plan=job.plan,
        buying=job.buying,
        parts=links,
        sheets=sheets,
        worked=job.worked,
        pictures=job.pictures,
        left_off=job.left_off,
        index=job.index_words,
        bench=(*_bench(job, layout), _fastening(job), afloat_section(job.afloat, job.show)),
        others=tuple(
            _by_kind(_link(path)) for path in [PDF, *written] if path not in linked or path.startswith("paper/")
        ),
    )
    return book(job.warned, told)


def _links(job: BoatJob, layout: Section, written: Sequence[str]) -> dict[str, tuple[Link, ...]]:
    """By a part's title, the files made of it."""
    made, pages, shaped = files_by_part(job), _pages(job), job.shaped
    links = {part.title: tuple(_links_of(part, made[part.file_name], pages)) for part in shaped.parts}
    for joined in shaped.long_panels.joined:
        links[joined.panel.title] += tuple(
            _of_piece(joined.panel, piece, path) for piece in joined.cut for path in made[piece.file_name]
        )
    tables = layout_links(layout, job.tables)
    links |= {title: (*links[title], link) for title, link in tables.items() if title in links}
    for joined in shaped.long_panels.joined:
        of_pieces = [piece for piece in joined.cut if piece.title in tables]
        links[joined.panel.title] += tuple(
            replace(tables[piece.title], text=f"{_of_whole(joined.panel, piece)} in this book") for piece in of_pieces
        )
    for piece in shaped.long_pieces:
        start = f"svg/{piece.part.file_name}-"
        blocks = [path for path in written if path.startswith(start) and path.endswith("-end-block.svg")]
        ends = (path.removeprefix(start).removesuffix("-end-block.svg") for path in blocks)
        links[piece.part.title] += tuple(
            replace(_link(path), text=f"{end} end") for path, end in zip(blocks, ends, strict=True)
        )
    return links


def _pages(job: BoatJob) -> Mapping[str, PageOf]:
    """By a file of several parts, the first and last page of each part in it, by its title or by its name."""
    saw = {SAW_SET_UPS: job.saw_page_of} if job.worked or job.keels else {}
    paper = {tiles_name(job.paper): job.tile_page_of, ROLL: job.roll_page_of}
    return {BEVEL_BOARDS: job.board_page_of, SETTING_UP: job.step_page_of, **saw, **paper}


def _bench(job: BoatJob, layout: Section) -> tuple[Section, ...]:
    """The tables for the bench, in the order of the work."""
    pictures = tuple(twist_picture(skin, job.show) for skin in job.fit.skins)
    return (
        *([built_section(job.as_built, _built_views(job, job.as_built), job.show)] if job.as_built else []),
        setting_up_section(job.setting_up),
        *([moulds_section(job.mould_figures, job.show)] if job.mould_figures else []),
        *([planks_section(job.plank_figures, job.show)] if job.plank_figures else []),
        bevel_section(job.boards, job.show),
        *([saw_section(job.worked, job.keels, job.show)] if job.worked or job.keels else []),
        layout,
        Section("Fit check", (), fit_sections(job.fit, pictures, job.show, _eased_views(job))),
    )


def _fastening(job: BoatJob) -> Section:
    read = job.read
    boards = bool(read.boat.skin.planking[-1].boards)
    rules = read.fastenings, read.finish, read.router
    return fastening_section(job.seams, job.finishing, *rules, job.show, of_boards=boards)


def _links_of(part: Part, made: Iterable[str], pages: Mapping[str, PageOf]) -> Iterator[Link]:
    """Files made of a part alone, then its pages in those it shares with others."""
    shared = [path for path, found in pages.items() if part.title in found or part.name in found]
    for path in dict.fromkeys((*made, *shared)):
        found = pages.get(path, {})
        yield _link(path, found.get(part.title, found.get(part.name)))


def _of_piece(panel: Part, piece: Part, path: str) -> Link:
    return replace(_link(path), text=_of_whole(panel, piece))


def _of_whole(panel: Part, piece: Part) -> str:
    return piece.name.removeprefix(f"{panel.name} ")


def _link(path: str, pages: tuple[int, int] | None = None) -> Link:
    """A file by the name of its kind; its text tells it from others of that kind."""
    kind = next((name for start, end, name in _NAMES if path.startswith(start) and path.endswith(end)), "")
    on_paper = pages is not None or "/" not in path or path.startswith("paper/")
    return Link("" if kind else path, path, "", on_paper, kind) if pages is None else _at_pages(path, pages, kind)


def _at_pages(path: str, pages: tuple[int, int], kind: str) -> Link:
    first, last = pages
    where = f"page {first}" if first == last else f"pages {first} to {last}"
    return Link(where, f"{path}#page={first}", kind=kind)


def _by_kind(link: Link) -> Link:
    """A file of the whole job, alone of its kind."""
    return replace(link, text=link.text or link.kind, kind="")


def _built_views(job: BoatJob, built: AsBuilt) -> tuple[View, ...]:
    """Profile and half-breadth plan with the lines as planned and as they run through the frames that stand."""
    planned = built.planned
    views = lines_plan(
        planned.boat, planned.lines, (), paper=PAGE, beside=Beside(eased=built.job.lines, why=BUILT), lettered=False
    )[:2]
    return tuple(
        replace(one, drawing=replace(one.drawing, file_name=f"built-{one.drawing.file_name}")) for one in views
    )


def _eased_views(job: BoatJob) -> tuple[View, ...]:
    """Profile and half-breadth plan with the lines as they are and as eased against twist, where they are eased."""
    if not job.fit.eased:
        return ()
    lofted = job.lofted
    views = lines_plan(
        lofted.boat, lofted.lines, (), paper=PAGE, beside=Beside(eased=job.fit.eased.lines), lettered=False
    )[:2]
    # The book has the lines drawing too, and no two drawings of a page go by one name.
    return tuple(
        replace(one, drawing=replace(one.drawing, file_name=f"eased-{one.drawing.file_name}")) for one in views
    )
