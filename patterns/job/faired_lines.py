"""The lines faired and doubted, without patterns: the table as faired, eased against twist, and the lines drawn."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace

from patterns.errors import ShapeError
from patterns.hull.doubts.suspects import suspects
from patterns.hull.planking.plank_lines import PlankLines
from patterns.hull.planking.skin import plank
from patterns.hull.round.figures import is_round
from patterns.hull.round.planked import planks_on
from patterns.hull.round.skin_lines import skin_lines
from patterns.parts.asked.rules import Boat
from patterns.parts.cautions import fairing_cautions
from patterns.parts.faired import fair_cuts_of, fair_hull, fair_lines
from patterns.parts.round_cautions import round_cautions
from patterns.plates.lines.lines_plan import Beside, lines_plan
from patterns.reading.boat.boat_toml import BoatFile, LinesFile
from patterns.shop.fit.ease_twist import Eased, ease_twist
from patterns.units.notations import Notation
from patterns.units.papers import paper_size
from patterns.writing.report.fair_tables import FairedTable, bands_file
from patterns.writing.tables.faired_csv import faired_csv

PAGE = (250.0, 160.0)  # mm; a view on a page of HTML, which shows it as wide as it is itself


def faired_table(read: LinesFile) -> FairedTable:
    """A boat's table, its faired lines, and what is in doubt."""
    asked = read.boat
    if is_round(asked.offsets):
        hull = fair_hull(asked)
        lines, cuts = skin_lines(hull)
        return FairedTable(asked, read.table, lines, cuts, hull.suspects, round_cautions(asked, hull), hull)
    lines, cuts = fair_lines(asked), fair_cuts_of(asked)
    doubted = suspects(asked.offsets, fore=asked.fore, aft=asked.aft)
    return FairedTable(asked, read.table, lines, cuts, doubted, fairing_cautions(asked, lines))


def eased_table(table: FairedTable, boat: Boat) -> Eased | None:
    """The lines eased against twist; None where the side does not twist, and of a round hull, which has no strakes."""
    if table.hull is not None:
        return None
    return ease_twist(boat, table.lines, plank(table.lines, skin=boat.skin, fore=boat.fore, aft=boat.aft))


def fair_files(read: LinesFile, table: FairedTable, eased: Eased | None = None) -> dict[str, bytes | str]:
    """The lines drawn for screen and paper, and the tables."""
    # Only drawings wait for the libraries that make pages.
    from patterns.writing.ink.svg import svg_text
    from patterns.writing.report.lines_page import lines_html, lines_pdf

    short, long = sorted(paper_size(read.paper))
    room = (long - 2 * read.margin, short - 2 * read.margin)
    doubts = frozenset(one.place for one in table.suspects)
    beside = Beside(doubts, eased.lines if eased else (), hull=table.hull, planks=_planks(read, table))
    on_page = lines_plan(table.boat, table.lines, table.cuts, paper=PAGE, beside=beside, lettered=False)
    on_paper = lines_plan(table.boat, table.lines, table.cuts, paper=room, beside=beside)
    return {
        "lines.html": lines_html(table, on_page),
        "lines.pdf": lines_pdf(table, on_paper, width=long, height=short, margin=read.margin),
        **{f"{view.drawing.file_name}.svg": svg_text(view.drawing) for view in on_paper},
        "lines-may-be-out.csv": bands_file(table),
        "offsets-faired.csv": faired_csv(table.form, table.boat.offsets, table.lines, table.cuts),
        **({"offsets-eased.csv": _eased_csv(read, table, eased)} if eased else {}),
    }


def _planks(read: LinesFile, table: FairedTable) -> PlankLines | None:
    """Plank lines of a round hull whose wood is named too; what is wrong with them is told by the trial of the loft."""
    if table.hull is None or not isinstance(read, BoatFile):
        return None
    with suppress(ShapeError):
        return planks_on(table.hull, read.boat.skin)
    return None


def _eased_csv(read: LinesFile, table: FairedTable, eased: Eased) -> str:
    """The eased table in decimals: what eases a twist may be less than the builder's own notation can say."""
    inches = read.table.notation.unit in ("in", "ft")
    fine = Notation("decimals", "in", 3, " in") if inches else Notation("decimals", "mm", 2, " mm")
    return faired_csv(replace(read.table, notation=fine), table.boat.offsets, eased.lines, table.cuts)
