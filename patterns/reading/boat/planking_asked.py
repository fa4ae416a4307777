"""The strakes that boat.toml and the lines of the table have together, and what the two must agree on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from patterns.errors import Problem
from patterns.hull.build import (
    Closing,
    Joint,
    KeelJoint,
    Lap,
    LinesTo,
    Planking,
    Skin,
    closing_of,
    strake_names,
    within_sentence,
)
from patterns.hull.offsets import Offsets
from patterns.hull.round.figures import is_round
from patterns.parts.asked.joint_rules import JointRule
from patterns.reading.boat.round_checks import layers_asked, planks_asked
from patterns.reading.toml.boat_tables import BoatToml
from patterns.reading.toml.faults import cell
from patterns.reading.toml.planking_tables import BottomTable, PlankTable, SideTable, StrakeTable
from patterns.reading.toml.toml_lines import Path
from patterns.reading.wording import one_of, quoted
from patterns.units.lengths import write_length

ROUND_LINES = ("sheer", "keel")
"""Lines that the planking of a round hull ends on, whatever rows its table has."""


def planked_lines(offsets: Offsets) -> tuple[str, ...]:
    """The long lines between which planking is laid, from the sheer down."""
    return ROUND_LINES if is_round(offsets) else offsets.lines


@dataclass(frozen=True, slots=True)
class StrakeAsked:
    """A strake as boat.toml has it, with what it takes from the strake above."""

    name: str  # "strake 2"
    said: PlankTable  # its own table, an empty one where boat.toml has none
    planking: Planking
    rule: JointRule
    chine: Joint | None  # how it meets the strake above; None of the side, and where a flat bottom does not say

    @property
    def key(self) -> str:
        """What its table is called, below planking."""
        return self.name.replace(" ", "_")

    @property
    def taken(self) -> frozenset[str]:
        """Keys that it takes from the strake above."""
        keys = ("thickness", "material", "joint", "stagger")
        takes = isinstance(self.said, StrakeTable)
        return frozenset(key for key in keys if takes and getattr(self.said, key) is None)


def strakes_asked(toml: BoatToml, lines: Sequence[str]) -> tuple[StrakeAsked, ...]:
    """Every strake from the sheer down, of a hull with these long lines."""
    strakes: list[StrakeAsked] = []
    for place, name in enumerate(_names(lines)):
        table = _table(toml, place, name)
        if isinstance(table, StrakeTable):
            strakes.append(_as_above(strakes[-1], name, table, _chine(toml, lines, table)))
        else:
            key = f"planking.{name}"
            boards = (table.boards or ()) if isinstance(table, BottomTable) else ()
            planking = Planking(table.thickness, table.material, key, tuple(boards))
            chine = _chine(toml, lines, table) if isinstance(table, BottomTable) else None
            strakes.append(StrakeAsked(name, table, planking, _rule(table), chine))
    return tuple(strakes)


def skin_asked(toml: BoatToml, lines: Sequence[str]) -> Skin:
    """The planking of a boat in which no fault was found."""
    strakes = strakes_asked(toml, lines)
    chines = _chines(lines)
    joints = tuple(strake.chine for strake in strakes[1:] if strake.chine is not None) if chines else ()
    if len(joints) != len(chines):
        raise AssertionError("a flat bottom that does not say how it meets the sides has been refused")
    lap = Lap(toml.laps.width, toml.laps.gain, toml.laps.least) if toml.laps else None
    planking = tuple(strake.planking for strake in strakes)
    return Skin(toml.boat.lines_to, planking, joints, _keel(toml, lines), lap, layers_asked(toml), planks_asked(toml))


def planking_defaults(toml: BoatToml, lines: Sequence[str], show: str) -> Iterator[tuple[str, str]]:
    """Keys and values taken for strakes and for how they meet: (key, value as the builder would write it)."""
    strakes = strakes_asked(toml, lines)
    for above, strake in pairwise(strakes):
        values = {
            "thickness": write_length(strake.planking.thickness, show),
            "material": strake.planking.material,
            "joint": str(strake.rule.kind) if strake.rule.kind else "",
            "stagger": write_length(strake.rule.stagger, show) if strake.rule.stagger else "",
        }
        for key, value in values.items():
            if value and key in strake.taken:
                yield f"[planking.{strake.key}] {key}", f"{value}, as {within_sentence(above.name)}"
        if strake.chine and not _says_chine(strake.said):
            yield f"[planking.{strake.key}] chine_joint", str(strake.chine)
    if (keel := _keel(toml, lines)) and toml.planking.bottom.keel_joint is None:
        yield "[planking.bottom] keel_joint", str(keel)


def faults_of_planking(
    toml: BoatToml, lines: Sequence[str], *, table: str, file: str, places: Mapping[Path, int], show: str
) -> Iterator[Problem]:
    """Every fault of the planking that shows only when the lines of the table are known.

    Parameters
    ----------
    table : str
        The file with the table of offsets.
    places : Mapping
        The lines of boat.toml by their keys.
    """

    def problem(path: Path, found: str, wanted: str) -> Problem:
        return Problem(cell(file, places, path), found, wanted)

    strakes = strakes_asked(toml, lines)
    keys = [strake.key for strake in strakes]
    for number in toml.planking.strakes:
        if (key := f"strake_{number}") not in keys:
            has = f"no such table: with the lines {', '.join(lines)} of {table} the boat's strakes are {one_of(keys)}"
            yield problem(("planking", key), "a table", has.replace("one of ", ""))
    for path, found, wanted in (*_bottom_faults(toml, lines, table), *_lap_faults(toml, strakes, show)):
        yield problem(path, found, wanted)


def _bottom_faults(toml: BoatToml, lines: Sequence[str], table: str) -> Iterator[tuple[Path, str, str]]:
    """Where a key stands, what was found and what is expected: of the bottom's two edges."""
    bottom, closing, path = toml.planking.bottom, closing_of(lines), ("planking", "bottom")
    if tuple(lines) == ROUND_LINES:
        return  # nothing is asked of it
    if closing is Closing.KEEL and bottom.laps:
        instead = f'chine_joint = "{bottom.laps.joint}" in its place' if _chines(lines) else "no such key"
        wanted = f"{instead}: {table} has a row 'keel', so this bottom is not flat"
        yield (*path, "laps"), quoted(bottom.laps), wanted
    if bottom.keel_joint and not _is_v(lines):
        wanted = f"no such key: only a V bottom, with rows 'chine' and 'keel' in {table}, has a seam along its keel"
        yield (*path, "keel_joint"), quoted(bottom.keel_joint), wanted
    if closing is not Closing.FLAT:
        if bottom.boards:
            yield (*path, "boards"), "widths", "no such key: only a flat bottom is laid of boards athwart"
        return
    if bottom.boards and (bottom.joint or bottom.joint_at):
        wanted = "either boards, laid athwart, or joints of panels"
        yield (*path, "boards"), "widths, and joints of panels", wanted
    if bottom.laps and bottom.chine_joint and bottom.chine_joint is not bottom.laps.joint:
        wanted = f"'{bottom.laps.joint}', as laps = \"{bottom.laps}\" says, or only one of the two keys"
        yield (*path, "chine_joint"), quoted(bottom.chine_joint), wanted
    elif bottom.chine_joint is Joint.LAPPED:
        wanted = f"{one_of(joint for joint in Joint if joint is not Joint.LAPPED)}: a flat bottom turns too hard to lap"
        yield (*path, "chine_joint"), quoted(bottom.chine_joint), wanted
    if bottom.stagger is not None:
        yield (
            (*path, "stagger"),
            "a length",
            "no such key: a flat bottom is one panel, with none to port to stagger from",
        )


def _lap_faults(toml: BoatToml, strakes: Sequence[StrakeAsked], show: str) -> Iterator[tuple[Path, str, str]]:
    """As `_bottom_faults`, of lapped strakes."""
    lapped = [(above, strake) for above, strake in pairwise(strakes) if strake.chine is Joint.LAPPED]
    if toml.laps and not lapped:
        wanted = 'a strake with chine_joint = "lapped", or no such table: no chine between two side strakes is lapped'
        yield ("laps",), "a table", wanted
    if not toml.laps:
        for _, strake in lapped:
            wanted = "a table [laps] with the width of a lap, or another joint"
            yield ("planking", strake.key, "chine_joint"), quoted(Joint.LAPPED), wanted
    if lapped and toml.boat.lines_to is LinesTo.OUTSIDE:
        wanted = (
            f"'{LinesTo.INSIDE}' where strakes are lapped: ask the designer which edge of a lap these lines give, and "
            "give the corners of the moulds"
        )
        yield ("boat", "lines_to"), quoted(toml.boat.lines_to), wanted
    thin = min((strake.planking.thickness for _, strake in lapped), default=None)
    if toml.laps and thin is not None and toml.laps.least >= thin:
        wanted = f"less than the thinnest lapped strake, {write_length(thin, show)}"
        yield ("laps", "least"), write_length(toml.laps.least, show), wanted


def _chines(lines: Sequence[str]) -> list[str]:
    return [line for line in lines if line.startswith("chine")]


def chine_joints(toml: BoatToml, lines: Sequence[str]) -> dict[str, Joint | None]:
    """How strakes meet at each chine, from the sheer down; None where a flat bottom does not say."""
    return dict(zip(_chines(lines), (strake.chine for strake in strakes_asked(toml, lines)[1:]), strict=False))


def _is_v(lines: Sequence[str]) -> bool:
    return closing_of(lines) is Closing.KEEL and bool(_chines(lines))


def _names(lines: Sequence[str]) -> tuple[str, ...]:
    """The strakes: of a round hull the one that its planking is; of any other a side and a bottom at least."""
    return strake_names(1 if tuple(lines) == ROUND_LINES else max(len(_chines(lines)), 1) + 1)


def _table(toml: BoatToml, place: int, name: str) -> PlankTable:
    """A strake's own table, or an empty one."""
    if name == "side":
        return toml.planking.side
    return toml.planking.bottom if name == "bottom" else toml.planking.strakes.get(place + 1, StrakeTable())


def _as_above(above: StrakeAsked, name: str, table: StrakeTable, chine: Joint | None) -> StrakeAsked:
    """A strake that is as the one above it in all that its table leaves out, but for places of joints: they shift."""
    planking = Planking(
        above.planking.thickness if table.thickness is None else table.thickness,
        above.planking.material if table.material is None else table.material,
        above.planking.table if table.material is None else f"planking.{name.replace(' ', '_')}",
    )
    rule = JointRule(
        table.joint or above.rule.kind,
        tuple(sorted(table.joint_at or ())),
        above.rule.stagger if table.stagger is None else table.stagger,
    )
    return StrakeAsked(name, table, planking, rule, chine)


def _rule(table: PlankTable) -> JointRule:
    return JointRule(table.joint, tuple(sorted(table.joint_at or ())), table.stagger or 0.0)


def _chine(toml: BoatToml, lines: Sequence[str], table: StrakeTable | BottomTable) -> Joint | None:
    if table.chine_joint:
        return table.chine_joint
    if isinstance(table, BottomTable):
        if table.laps:
            return table.laps.joint
        return Joint.HALF_ANGLE if _is_v(lines) else None
    return Joint.LAPPED if toml.laps else Joint.HALF_ANGLE


def _says_chine(table: PlankTable) -> bool:
    laps = isinstance(table, BottomTable) and table.laps
    return bool(laps or (not isinstance(table, SideTable) and table.chine_joint))


def _keel(toml: BoatToml, lines: Sequence[str]) -> KeelJoint | None:
    return (toml.planking.bottom.keel_joint or KeelJoint.HALF_ANGLE) if _is_v(lines) else None
