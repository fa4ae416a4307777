"""What fairing did to a table, as tables in the builder's own notation."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from patterns.hull.bands import hard_turns
from patterns.hull.bending_along import turns
from patterns.hull.doubts.judged_rows import FEWEST, FROM_FP, Suspect
from patterns.hull.doubts.row_doubts import RowDoubt, row_doubts
from patterns.hull.doubts.suspect_wording import advised, row_told
from patterns.hull.fairing import FairedCut, FairedLine, FairedView
from patterns.hull.fairing_rules import HEIGHT, Knuckle, KnuckleKind
from patterns.hull.knuckles import turn_at
from patterns.hull.planking.skin import is_made
from patterns.hull.round.round_hull import RoundHull
from patterns.hull.round.thin_spots import thin_spots
from patterns.hull.table_form import HALF_BREADTHS, HEIGHTS, TableForm
from patterns.parts.asked.rules import BoatLines
from patterns.parts.cautions import Caution, hard_turn_told
from patterns.parts.faired import line_without
from patterns.parts.round_cautions import thin_told, worst_spot
from patterns.units.lengths import decimals, unbroken, write_at_most, write_length
from patterns.units.notations import write_offset
from patterns.writing.report.band_tables import NOT_COUNTED, NOT_KNOWN, advice, bands_csv, bands_table
from patterns.writing.report.report_blocks import Block, Bullets, Copied, Paragraph, Section, Table

UNMOVED = 0.013  # mm, half a thousandth of an inch: what is less shows in no figure
_FINER = {"mm": ("mm", 2), "cm": ("cm", 3), "m": ("m", 5)}  # digits for moves too small for the bench's own step


CUTS_UNJUDGED = (
    "Not judged: waterlines, buttocks and diagonals. Their ends lie on a profile or at the sheer, which their own "
    "figures do not show. Look them over by eye on the lines drawing."
)
SETTLE_FIRST = "Settle first what is in doubt. A wrong figure makes its whole line less sure."
OUT_ALREADY = "It is left out, as boat.toml says."
IN_ONE_LINE = "If boat.toml has a line that begins with fairing = [, copy this before that line's last ] instead:"
LEAST_ANGLE = 1.0  # degrees; judgement of this program
NO_ANGLE = "The figures show no angle there. See whether at names the right place."
THIS_ONE = "This figure does not suit the rest of the table."


@dataclass(frozen=True, slots=True, eq=False)
class FairedTable:
    """A boat's table with what fairing made of it."""

    boat: BoatLines
    form: TableForm
    lines: tuple[FairedLine, ...]
    cuts: tuple[FairedCut, ...]
    suspects: tuple[Suspect, ...]  # the surest first
    cautions: tuple[Caution, ...]  # where limits hold a batten back, and ends that contradict their profiles
    hull: RoundHull | None = None  # the surface of a round hull, which its lines are cuts of

    def views(self) -> Iterator[tuple[str, str, FairedView]]:
        """Every line and cut: its name, the block of the table it stands in, the view."""
        for line in self.lines:
            yield line.name, HEIGHTS, line.height
            # A keel that lies on the centre plane has no half-breadths in the table.
            if self.boat.offsets.half_breadth(line.name):
                yield line.name, HALF_BREADTHS, line.half_breadth
        for cut in self.cuts:
            yield cut.name, HEIGHTS if cut.name.startswith("buttock") else HALF_BREADTHS, cut.view

    def written(self, mm: float, block: str) -> str:
        """A height above base or a half-breadth as the table would have it."""
        return write_offset(self.form.datum.given(mm) if block == HEIGHTS else mm, self.form.notation)


def report(table: FairedTable) -> tuple[Section, ...]:
    """All there is to tell of a faired table: what is in doubt first."""
    return (
        Section("What is in doubt", tuple(suspects_blocks(table))),
        Section("Where the lines are not free to be fair", (_held(table),)),
        Section("What was moved", (moves_table(table),)),
        Section("How far the lines may be out", tuple(bands_blocks(table))),
        Section("How the lines curve", (*_angles(table), turns_table(table))),
        Section("What to do next", (Bullets(tuple(_next(table))),)),
    )


def in_brief(table: FairedTable) -> Iterator[tuple[str, tuple[Block, ...]]]:
    """What needs an eye, each under a word for the margin; the whole report has the rest."""
    doubts = tuple(
        block for block in suspects_blocks(table) if not (isinstance(block, Paragraph) and block.tone != "plain")
    )
    yield "Doubt", doubts
    if table.cautions:
        yield "Held", (_held(table),)
    yield "Moved", (Paragraph(_moved_in_all(table)),)
    hard: dict[str, list[str]] = {}
    for where, text in map(hard_turn_told, hard_turns(table.lines)):
        hard.setdefault(text, []).append(where)
    if hard:
        yield "Hard", (Bullets(tuple(f"{'; '.join(where)}: {text}." for text, where in hard.items())),)
    angles = tuple(_angles(table))
    if angles:
        yield "Angles", angles


def next_figure(table: FairedTable) -> str:
    """Which figure is best measured on the plan next; nothing while others are in doubt."""
    return "" if _unsettled(table) else _advice(table)


def _advice(table: FairedTable) -> str:
    """Which figure to measure next; empty where no line may be out by much."""
    if table.hull is not None:
        return worst_spot(table.boat, table.hull)
    found = advice(table.lines, table.boat.offsets, table.suspects, table.boat.show)
    return found[1] if found else ""


def _moved_in_all(table: FairedTable) -> str:
    """``31 of 32 offsets, 1/16" at most: chine heights at 1 (limit 1/8").``"""
    moves = [
        (abs(mm), f"{name} {block} at {column}")
        for name, block, view in table.views()
        for column, mm in zip(view.columns, view.moved.tolist(), strict=True)
        if column not in view.left_out
    ]
    show = table.boat.show
    nothing = write_length(0.0, show)
    seen = [(mm, where) for mm, where in moves if write_length(mm, show) != nothing]
    limit = "each within its own limit" if table.boat.fairing else f"limit {write_length(table.boat.fair_within, show)}"
    if not seen:
        return f"none of {len(moves)} offsets by as much as can be measured ({limit})."
    most, where = max(seen)
    return f"{len(seen)} of {len(moves)} offsets, {write_length(most, show)} at most: {where} ({limit})."


def _next(table: FairedTable) -> Iterator[str]:
    """What a builder does with the report, in its order."""
    file = table.form.file
    doubts = _unsettled(table)
    if doubts:
        yield (
            f"Look up on the plan what is in doubt, and put right in {file} what was copied wrong. What stands so on "
            "the plan may stay; a misprint of the plan's own can be left out, with leave_out = true under [[fairing]]."
        )
    if table.cautions:
        yield (
            "See to what holds the lines back: a figure in doubt first, then a profile in boat.toml that was copied "
            "wrong; give more room under [[fairing]] only where the plan's figures are right."
        )
    yield "Look over every move: where an offset must stay, give it lock = true under [[fairing]]."
    if doubts or table.cautions:
        yield "Then ask scrieve fair again."
    if table.hull is not None or is_made(table.boat.offsets.lines):
        yield "When the lines look right, make the patterns: scrieve loft with the same folder."
    else:
        yield "Patterns of this kind of hull are not made yet; the faired table is for laying the lines down by hand."


def _unsettled(table: FairedTable) -> bool:
    """Whether a row, or a figure that boat.toml does not leave out, is in doubt."""
    return any(row_doubts(table.boat.offsets)) or not all(_is_left_out(one, table) for one in table.suspects)


def _is_left_out(one: Suspect, table: FairedTable) -> bool:
    if table.hull is not None:
        figures = ((each.line, each.view, each.column, each.limit) for each in table.hull.figures)
        return any(figure[:3] == one.place and math.isnan(figure[3]) for figure in figures)
    return any(
        (one.line, f"{one.view}s") == (name, block) and one.column in view.left_out
        for name, block, view in table.views()
    )


def _held(table: FairedTable) -> Block:
    if table.cautions:
        return Bullets(tuple(f"{one.where}: {one.text}" for one in table.cautions))
    return Paragraph("Nowhere: no limit holds a batten back, and the lines end where the profiles do.")


def bands_blocks(table: FairedTable) -> Iterator[Block]:
    """What to measure next, where lines turn too hard for the table, and how far each may be out in each bay."""
    if _unsettled(table):
        yield Paragraph(SETTLE_FIRST)
    if found := _advice(table):
        yield Paragraph(found)
    if table.hull is not None:
        spots = [thin_told(one, table.boat.show) for one in thin_spots(table.hull, within=table.boat.fair_within)]
        yield from [Bullets(tuple(f"{where}: {text}" for where, text in spots))] if spots else []
    hard = [hard_turn_told(one) for one in hard_turns(table.lines)]
    if hard:
        yield Bullets(tuple(f"{where}: {text}." for where, text in hard))
    yield bands_table(table.views(), table.boat.show)
    yield Paragraph(NOT_COUNTED, "note")


def bands_file(table: FairedTable) -> str:
    """The same table as CSV."""
    return bands_csv(table.views(), table.boat.show)


def moves_table(table: FairedTable) -> Table:
    """Every offset that was moved."""
    rows = [
        (name, block, column, table.written(given, block), table.written(faired, block), *moved)
        for name, block, view in table.views()
        for column, given, faired in zip(view.columns, view.given.tolist(), view.faired.tolist(), strict=True)
        if (moved := _moved(column, faired - given, view, table))
    ]
    count = sum(len(view.columns) for _, _, view in table.views())
    within = f"none by more than the {write_length(table.boat.fair_within, table.boat.show)} of fair_within"
    within = "each within its own limit" if table.boat.fairing else within
    caption = f"{len(rows)} of {count} offsets moved to fair the lines, {within}; + is up or out"
    columns = ("line", "in", "station", "given", "faired", "moved", "exactly")
    return Table(caption, columns, tuple(rows), frozenset(columns[3:]))


def _moved(column: str, mm: float, view: FairedView, table: FairedTable) -> tuple[str, ...]:
    """A move as lengths are shown, and finer in decimals of the same unit; nothing where there was none to see."""
    if column in view.left_out:
        return ("left out", f"line {write_length(abs(mm), table.boat.show)} off")
    if abs(mm) <= UNMOVED:
        return ()
    show, sign = table.boat.show, "+" if mm > 0 else "-"
    shown, nothing = write_length(abs(mm), show), write_length(0.0, show)
    unit, digits = _FINER.get(show, ("in", 3))
    return (nothing if shown == nothing else sign + shown, f"{sign}{decimals(abs(mm), unit, digits)} {unit}")


def _angles(table: FairedTable) -> Iterator[Block]:
    """By how much each line turns where boat.toml says that it has an angle."""
    told = [
        _angle(one, line)
        for one in table.boat.knuckles
        for line in table.lines
        if (line.name, KnuckleKind.ANGLE) == (one.line, one.kind)
    ]
    if told:
        yield Bullets(tuple(told))


def _angle(one: Knuckle, line: FairedLine) -> str:
    """``sheer, knuckle at 4: its heights turn by 7.0°, its half-breadths by 0.8°.``"""
    views = {HEIGHTS: line.height, HALF_BREADTHS: line.half_breadth}
    turned = {
        name: np.degrees(abs(turn)) for name, view in views.items() if (turn := turn_at(view, one.from_fp)) is not None
    }
    told = ", ".join(
        f"its {name} {'' if number else 'turn '}by {turn:.1f}°" for number, (name, turn) in enumerate(turned.items())
    )
    unseen = "" if max(turned.values(), default=0.0) >= LEAST_ANGLE else f" {NO_ANGLE}"
    return f"{one.line}, knuckle at {one.place}: {told}.{unseen}"


def turns_table(table: FairedTable) -> Table:
    """How often each line's curve turns from hollow to round or back, and where."""
    rows = []
    for name, block, view in table.views():
        at = turns(view)
        most = float(np.abs(view.moved).max(initial=0.0))
        where = "; ".join(_place(x, view, table) for x in at)
        rows.append((name, block, write_length(most, table.boat.show), str(len(at)), where or "nowhere"))
    columns = ("line", "in", "most moved", "turns", "where it turns from hollow to round or back, from FP")
    return Table("Curvature changes of every line as faired", columns, tuple(rows), frozenset(("turns", "most moved")))


def _place(x: float, view: FairedView, table: FairedTable) -> str:
    """A place on a line between the two columns it lies between, and from FP."""
    after = int(np.clip(np.searchsorted(view.from_fp, x), 1, len(view.columns) - 1))
    return (
        f"between {view.columns[after - 1]} and {view.columns[after]} at {unbroken(write_length(x, table.boat.show))}"
    )


def suspects_blocks(table: FairedTable) -> Iterator[Block]:
    """Figures that the rest of the table contradicts, and which rows could not be judged."""
    rows = [_row_doubt(one, table) for one in row_doubts(table.boat.offsets)]
    if rows:
        yield Paragraph(f"{'Rows' if len(rows) > 1 else 'A row'} in doubt as a whole. Nothing has been changed.")
        yield Bullets(tuple(rows))
    if table.suspects:
        many = len(table.suspects) > 1
        these = "These figures do not suit the rest of the table, the surest first." if many else THIS_ONE
        yield Paragraph(f"{these} Nothing has been changed.")
        yield Bullets(tuple(_doubt(one, table) for one in table.suspects))
        yield from _leaving_out(table)
    elif not rows:
        yield Paragraph(
            "No figure stands out from the rest. That does not make every figure right: a small slip does not show, "
            "and near an end or in a line of few figures even a large one may not."
        )
    if table.cuts and table.hull is None:
        yield Paragraph(CUTS_UNJUDGED, "note")
    cuts = {cut.name for cut in table.cuts}
    unjudged = [
        f"{name} {block}" for name, block, view in table.views() if len(view.columns) < FEWEST and name not in cuts
    ]
    if unjudged and table.hull is None:
        yield Paragraph(f"Not judged, because the row has fewer than {FEWEST} figures: {', '.join(unjudged)}.", "note")


def _row_doubt(one: RowDoubt, table: FairedTable) -> str:
    numbers = (
        table.form.row(HEIGHTS if view == "height" else HALF_BREADTHS, line) for line, view in (one.first, one.second)
    )
    return f"rows {' and '.join(map(str, numbers))}: {row_told(one)}"


def _doubt(one: Suspect, table: FairedTable) -> str:
    """``row 5, chine heights at 2: 1-1-0 lies 1' 0" above ...; one foot too much? did you mean 0-1-0? Look ...``"""
    if one.line == FROM_FP:
        where = f"row {table.form.from_fp_row}, from FP at {one.column}"
    else:
        block = HEIGHTS if one.view == "height" else HALF_BREADTHS
        where = f"row {table.form.row(block, one.line)}, {one.line} {block} at {one.column}"
    return f"{where}: {advised(one, table.boat.offsets, table.boat.show)}{_without(one, table)}"


def _without(one: Suspect, table: FairedTable) -> str:
    """`` Without that figure the line reads 0-1-0 there and may be out by 1/8".``"""
    without = line_without(table.boat, one.place)
    if without is None:
        return f" {OUT_ALREADY}" if table.hull is not None and _is_left_out(one, table) else ""
    reads = table.written(without.reads, HEIGHTS if one.view == HEIGHT else HALF_BREADTHS)
    unknown = math.isnan(without.may_be_out)
    out = NOT_KNOWN if unknown else unbroken(write_at_most(without.may_be_out, table.boat.show))
    told = f"how far it may be out is {out}" if unknown else f"may be out by {out}"
    already = f" {OUT_ALREADY}" if _is_left_out(one, table) else ""
    return f"{already} Without that figure the line reads {reads} there and {told}."


def _leaving_out(table: FairedTable) -> Iterator[Block]:
    """What to copy into boat.toml to fair the lines without the figures in doubt."""
    offsets = table.boat.offsets
    ends = (offsets.columns[0], offsets.columns[-1])
    rules = [
        (f'line = "{one.line}"', f'view = "{one.view}s"', f"station = {_toml(one.column)}", "leave_out = true")
        for one in table.suspects
        if one.line != FROM_FP and one.column not in ends and not _is_left_out(one, table)
    ]
    if not rules:
        return
    what = "that figure" if len(rules) == 1 else "those figures"
    written = ", ".join(f"{{ {', '.join(rule)} }}" for rule in rules)
    if table.boat.fairing:
        yield Paragraph(f"To fair the line without {what}, copy this to the end of boat.toml:")
        yield Copied(tuple(line for rule in rules for line in ("[[fairing]]", *rule)))
        yield Paragraph(IN_ONE_LINE)
        yield Copied((f", {written}",))
    else:
        yield Paragraph(f"To fair the line without {what}, copy this line to the top of boat.toml, above [boat]:")
        yield Copied((f"fairing = [{written}]",))


def _toml(name: str) -> str:
    """A name as a string of TOML, which has the escapes of JSON."""
    return json.dumps(name, ensure_ascii=False)
