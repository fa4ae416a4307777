"""One boat's job: what was read and what is wanted, and the work that its products share, done when it is asked for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from html import escape
from itertools import chain
from math import fsum
from typing import Any

from patterns.drawing.marks import Drawing
from patterns.geometry.short_repr import one_line
from patterns.job.processes import in_processes
from patterns.job.shared.bench_pages import Booklet, boards_laid, saw_laid, saw_sheets, steps_laid
from patterns.job.shared.bench_words import cautions_of_bench, with_verdicts
from patterns.job.shared.cutting import contours_of, pieces_of
from patterns.job.shared.drafting import Drafting, drafting
from patterns.job.shared.half_blocks import blocks_to_turn
from patterns.job.shared.page_finding import PageOf, roll_page_of, tile_page_of
from patterns.job.shared.run_mark import run_mark
from patterns.job.wishes.chosen_names import Name
from patterns.job.wishes.paper_sizes import Printed, at_bench
from patterns.job.wishes.printed_parts import (
    left_off,
    names_in,
    not_on_pages,
    printed_blocks,
    printed_parts,
    timbers_left_off,
)
from patterns.job.wishes.printers import correction_for
from patterns.job.wishes.wishes import Wishes
from patterns.parts.cautions import Caution
from patterns.parts.part import Part
from patterns.parts.whole import Job, loft
from patterns.plates.bench.story_stick import stick_drawing
from patterns.plates.boat_model import BoatPictures, boat_pictures
from patterns.plates.pattern.end_blocks import end_blocks
from patterns.reading.boat.boat_toml import BoatFile
from patterns.shop.afloat.floats import Afloat, afloat
from patterns.shop.built.as_built import AsBuilt, as_built
from patterns.shop.fastening.drawn_lines import with_fastening_lines
from patterns.shop.fastening.finishing import Finishing, finishing
from patterns.shop.fastening.received import received
from patterns.shop.fastening.seam import Seam
from patterns.shop.fastening.seams import seams
from patterns.shop.fit.fit_report import FitReport, fit_report
from patterns.shop.fit.skin_checks import SkinCheck, skin_cautions, skin_checks
from patterns.shop.layout.bevel_boards import BevelBoard, bevel_boards
from patterns.shop.layout.layout_tables import LayoutTable, layout_table, worth_a_table
from patterns.shop.layout.mould_figures import MouldFigures, mould_figures
from patterns.shop.layout.plank_figures import PlankFigures, plank_figures
from patterns.shop.layout.screw_rows import Fastened
from patterns.shop.layout.setting_up import SettingUp, setting_up
from patterns.shop.layout.story_sticks import story_sticks
from patterns.shop.nest.nesting import Effort
from patterns.shop.nest.off_sheets import cautions_of_sheets
from patterns.shop.nest.sheets import SheetPlan, fill_sheets
from patterns.shop.router.contours import Contours
from patterns.shop.router.index_holes import index_holes, index_words
from patterns.shop.router.router_parts import cautions_of, wholes_apart
from patterns.shop.saw.keel_cuts import KeelBench, keel_bench
from patterns.shop.saw.long_bench import BenchPiece, bench
from patterns.shop.stock.buying import BuyingPlan, buying_plan
from patterns.tiling.paper.correction import Correction
from patterns.tiling.paper.paper import PaperSetup
from patterns.tiling.roll.roll import Rolled, rolled
from patterns.tiling.tiles.page_set import PageSet, page_set
from patterns.tiling.tiles.shared_pages import shared
from patterns.tiling.tiles.tiles import Tiling, about_pages, tile
from patterns.units.lengths import write_length
from patterns.units.papers import paper_size


@dataclass(frozen=True, eq=False)
class BoatJob:
    """A boat's file and wishes, and all that products share. Each value is worked out once, when it is first asked for.

    Whatever is asked for raises a PatternsError where this boat cannot have it.
    """

    read: BoatFile
    wishes: Wishes = field(default_factory=Wishes)

    def __repr__(self) -> str:
        known = f"{len(self.lofted.parts)} patterns" if "lofted" in self.__dict__ else "not lofted yet"
        return one_line(self, f"{self.name}: {known}, on {self.wishes.paper or self.read.paper}")

    def _repr_html_(self) -> str:
        """Its patterns as a table, for a notebook."""
        heads = ("pattern", "thick", "material")
        rows = [(one.title, write_length(one.thickness, self.show), one.material) for one in self.lofted.parts]
        head = "".join(f"<th>{word}</th>" for word in heads)
        body = "".join(f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in row)}</tr>" for row in rows)
        return f"<table><caption>{escape(repr(self))}</caption><tr>{head}</tr>{body}</table>"

    def part(self, title: str) -> Part:
        """The part of a title, such as "frame 3" or "side panel, port".

        Raises
        ------
        UnknownNameError
            No part has it: a PatternsError and a KeyError, with the titles most like it.
        """
        return self.shaped.part(title)

    def work_out(self, *values: str) -> BoatJob:
        """This job, values of it worked out now and not when they are first asked for."""
        for name in values:
            getattr(self, name)
        return self

    @property
    def name(self) -> str:
        """The boat's."""
        return self.read.boat.name

    @property
    def show(self) -> str:
        """How lengths are printed."""
        return self.read.boat.show

    @property
    def marked_name(self) -> str:
        """The boat's name after the run mark, as pages show it: where a name is cut short, the mark stays."""
        return f"run {self.run_mark}, {self.name}"

    def knows(self, values: Mapping[str, Any]) -> None:
        """Take values, by their names here, that another process has worked out for this job."""
        self.__dict__.update(values)

    # The boat

    @cached_property
    def lofted(self) -> Job:
        """Lines, skin and parts as the geometry has them: as she stands, where any of her is built."""
        return self.as_built.job if self.as_built else loft(self.read.boat)

    @cached_property
    def as_built(self) -> AsBuilt | None:
        """How she stands, and how she was planned; None where nothing is said of what is built."""
        return as_built(loft(self.read.boat), self.read.built) if self.read.built else None

    @cached_property
    def contours(self) -> tuple[Contours, ...]:
        """What each part is cut by, then each piece of joined panels."""
        job = self.lofted
        return wholes_apart(contours_of((*job.parts, *job.pieces), job, self.read), job.to_cut)

    @cached_property
    def index_words(self) -> tuple[str, ...]:
        """What the builder does with index holes, if he asks for them."""
        job, rules = self.lofted, self.read.router
        return index_words(index_holes((*job.parts, *job.pieces), rules), rules, self.show)

    @cached_property
    def worked(self) -> tuple[BenchPiece, ...]:
        """The long pieces at the bench, but those that are cut already."""
        return bench(tuple(one for one in self.lofted.long_pieces if not one.part.as_cut), self.read.bench)

    @cached_property
    def keels(self) -> tuple[KeelBench, ...]:
        """Keel batten and keelson of a V bottom at the bench."""
        return keel_bench(tuple(one for one in self.lofted.keels if not one.part.as_cut), self.read.bench.saw)

    @cached_property
    def shaped(self) -> Job:
        """As lofted, each long piece's pattern saying how it bends."""
        return replace(self.lofted, parts=with_verdicts(self.lofted.parts, self.worked, self.show))

    @cached_property
    def cautions(self) -> tuple[Caution, ...]:
        """Every warning of the job."""
        job = self.lofted
        return (
            *job.warnings,
            *cautions_of(self.contours),
            *cautions_of_bench(self.worked, self.show),
            *cautions_of_sheets(job.to_cut, self.read.sheets, self.show),
            *skin_cautions(self.skin_checks, self.show),
        )

    @cached_property
    def skin_checks(self) -> tuple[SkinCheck, ...]:
        """How the moulds of a round hull lie to its skin."""
        return skin_checks(self.lofted)

    @cached_property
    def warned(self) -> Job:
        """As shaped, with every warning."""
        return replace(self.shaped, warnings=self.cautions)

    @cached_property
    def plan(self) -> SheetPlan:
        """The sheets that plywood parts are cut from; none where the builder names no sheets."""
        if self.read.sheets is None:
            return SheetPlan()
        return fill_sheets(pieces_of(self.shaped, self.contours), self.read.sheets, Effort.QUICK)

    @cached_property
    def buying(self) -> BuyingPlan:
        """Boards to buy from the builder's yard; none where he names no yard."""
        read = self.read
        return buying_plan(self.shaped.to_cut, self.plan, self.worked, read.yard, read.boat.plywood)

    @cached_property
    def seams(self) -> tuple[Seam, ...]:
        """Every line of fastenings."""
        return seams(self.lofted, self.read.router, self.read.fastenings)

    @cached_property
    def finishing(self) -> Finishing:
        """Areas and lengths that are glued and finished, and how much that takes."""
        return finishing(self.lofted, self.read.finish)

    @cached_property
    def pictures(self) -> BoatPictures | None:
        """The boat as bodies of wood, shaded."""
        return boat_pictures(self.shaped)

    @cached_property
    def afloat(self) -> Afloat:
        """What the boat weighs, and how she floats."""
        return afloat(self.lofted, self.read.afloat)

    # The bench

    @cached_property
    def tables(self) -> tuple[LayoutTable, ...]:
        """A table for each part laid out by itself, whole and as the pieces it is joined from."""
        return layout_tables(self.read, self.shaped)

    @cached_property
    def boards(self) -> tuple[BevelBoard, ...]:
        """Bevel boards."""
        return bevel_boards(to_make(self.shaped.parts), show=self.show)

    @cached_property
    def setting_up(self) -> SettingUp:
        """How the boat is set up on the strongback."""
        return setting_up(self.shaped)

    @cached_property
    def mould_figures(self) -> tuple[MouldFigures, ...]:
        """Where the lines of a round hull cross its moulds."""
        return mould_figures(self.shaped)

    @cached_property
    def plank_figures(self) -> PlankFigures | None:
        """How the planks of a round hull divide its girth, where boat.toml asks for it."""
        return plank_figures(self.shaped)

    @cached_property
    def sticks(self) -> tuple[Drawing, ...]:
        """Story sticks, full size."""
        fastened = Fastened(self.seams, received(self.lofted, self.seams))
        sticks = story_sticks(self.tables, self.boards, self.setting_up, fastened)
        return tuple(stick_drawing(stick, boat=self.name, show=self.show, run=self.run_mark) for stick in sticks)

    @cached_property
    def fit(self) -> FitReport:
        """Whether the parts will fit together."""
        return fit_report(self.shaped, self.skin_checks)

    # Paper

    @cached_property
    def correction(self) -> Correction | None:
        """What the printer is corrected by."""
        asked = self.wishes.printer
        if isinstance(asked, Correction):
            return asked
        said = "boat.toml, [printer] name" if asked is None and self.read.printer else "printer"
        return correction_for(asked or self.read.printer or None, said=said)

    @cached_property
    def paper(self) -> PaperSetup:
        """The paper of the patterns, as it comes."""
        size = self.wishes.paper or self.read.paper
        return PaperSetup(*paper_size(size), self.read.margin, self.read.overlap, size, grid=self.wishes.grid)

    @property
    def printed(self) -> Printed:
        """The paper of the patterns, and the printer's correction."""
        return Printed(self.paper, self.correction)

    @property
    def at_bench(self) -> Printed:
        """The paper of what is used at the bench."""
        return at_bench(self.printed)

    # Patterns

    @cached_property
    def run_mark(self) -> str:
        """A few characters on every page, file and table: only what has the same ones belongs together."""
        return run_mark(self.read, self.wishes, self.paper, self.correction)

    @cached_property
    def drafting(self) -> Drafting:
        """The parts and how they are drawn."""
        job = self.shaped
        if self.read.fastenings.on_patterns:
            job = replace(job, parts=with_fastening_lines(job.parts, self.seams, self.show))
        return drafting(job, self.worked, self.wishes, run=self.run_mark)

    @cached_property
    def drawings(self) -> tuple[Drawing, ...]:
        """Each part drawn."""
        return self.drafting.all_drawn()

    @cached_property
    def blocks(self) -> Mapping[str, tuple[Drawing, ...]]:
        """By the file name of a long piece, papers for the test blocks of its ends."""
        return {
            piece.part.file_name: end_blocks(piece, boat=self.name, run=self.run_mark)
            for piece in self.shaped.long_pieces
            if not piece.part.as_cut
        }

    @cached_property
    def printed_parts(self) -> tuple[Part, ...]:
        """The parts whose patterns have pages."""
        return to_make(printed_parts(self.shaped, self.names, self.wishes))

    @cached_property
    def names(self) -> tuple[Name, ...]:
        """The patterns asked for by name."""
        blocks = tuple(chain.from_iterable(self.blocks.values())) if self.wishes.only else ()
        return names_in(self.shaped, blocks, self.wishes)

    @cached_property
    def left_off(self) -> tuple[str, ...]:
        """What is said of patterns that have no pages."""
        job, printed = self.shaped, self.printed_parts
        missing = not_on_pages(job, printed)
        shown = {part.file_name for part in missing}
        # A sentence on the front page and in the book needs no exact count, and need not wait for one.
        pages = (
            0
            if self.names
            else round(fsum(about_pages(one, self.printed.room) for one in self.drawings if one.file_name in shown))
        )
        return left_off(missing, pages, timbers=timbers_left_off(job, printed), only=self.wishes.only)

    @cached_property
    def printed_drawings(self) -> tuple[Drawing, ...]:
        """The drawings of the patterns that have pages, then papers for test blocks."""
        shown = {part.file_name for part in self.printed_parts}
        whole = (drawing for drawing in self.drawings if drawing.file_name in shown)
        return (*whole, *printed_blocks(tuple(chain.from_iterable(self.blocks.values())), self.names))

    @cached_property
    def rolled_drawings(self) -> tuple[Drawing, ...]:
        """The drawings on the roll: all, whatever has pages; a timber only where it is asked for."""
        off = set() if self.wishes.timbers else {part.file_name for part in self.shaped.timbers}
        off |= {part.file_name for part in self.shaped.parts if part.as_cut}
        whole = (drawing for drawing in self.drawings if drawing.file_name not in off)
        return (*whole, *chain.from_iterable(self.blocks.values()))

    @cached_property
    def halved(self) -> Mapping[str, tuple[Drawing, ...]]:
        """By the titles of the whole ones, the halves to be turned over that pages show; a roll has room."""
        if not (self.wishes.half or self.read.half):
            return {}
        blocks = blocks_to_turn(self.shaped.long_pieces, self.blocks, boat=self.name, run=self.run_mark)
        return {**self.drafting.halved(self.drawings, self.printed.room), **blocks}

    @cached_property
    def tiled_drawings(self) -> tuple[Drawing, ...]:
        """What the tiles show."""
        shown = (one for drawing in self.printed_drawings for one in self.halved.get(drawing.title, (drawing,)))
        return tuple(dict.fromkeys(shown))

    @cached_property
    def tilings(self) -> tuple[Tiling, ...]:
        """The drawings cut to pages, small ones together."""
        paper, show = self.printed.room, self.show
        return in_processes(lambda drawing: tile(drawing, paper, show=show), shared(self.tiled_drawings, paper))

    @cached_property
    def page_set(self) -> PageSet:
        """All pages of the patterns, the front page and key plans too."""
        return page_set(self.tilings, self.printed.room, boat=self.name, run=self.run_mark, left_off=self.left_off)

    @cached_property
    def rolled(self) -> Rolled:
        """The drawings laid on the roll."""
        return rolled(self.rolled_drawings, self.read.roll, show=self.show, one_page=self.wishes.one_page)

    @cached_property
    def boards_laid(self) -> Booklet:
        """Bevel boards on pages."""
        return boards_laid(self.boards, self.at_bench, boat=self.marked_name, show=self.show)

    @cached_property
    def steps_laid(self) -> Booklet:
        """Setting up on pages."""
        return steps_laid(self.setting_up, self.at_bench, boat=self.marked_name)

    @cached_property
    def saw_laid(self) -> Booklet:
        """Saw set-ups on pages."""
        saw = self.read.bench.saw
        return saw_laid(saw_sheets(self.worked, self.keels, saw, boat=self.marked_name, show=self.show), self.at_bench)

    # The first and last page of each drawing or part, by its title or name

    @cached_property
    def tile_page_of(self) -> PageOf:
        """Among the patterns' pages."""
        return tile_page_of(self.tiled_drawings, self.page_set, self.halved)

    @cached_property
    def roll_page_of(self) -> PageOf:
        """On the roll."""
        return roll_page_of(self.rolled_drawings, self.rolled)

    @cached_property
    def board_page_of(self) -> PageOf:
        """Among bevel boards."""
        return self.boards_laid.page_of

    @cached_property
    def step_page_of(self) -> PageOf:
        """Among pages of setting up."""
        return self.steps_laid.page_of

    @cached_property
    def saw_page_of(self) -> PageOf:
        """Among saw set-ups."""
        return self.saw_laid.page_of


def to_make(parts: Iterable[Part]) -> tuple[Part, ...]:
    """The parts that are not cut already."""
    return tuple(part for part in parts if not part.as_cut)


def layout_tables(read: BoatFile, job: Job) -> tuple[LayoutTable, ...]:
    """A table for each part laid out by itself, whole and as the pieces it is joined from."""
    parts = [part for part in to_make((*job.parts, *job.pieces)) if worth_a_table(part)]
    return tuple(layout_table(part, room=read.sheets, show=job.boat.show) for part in parts)
