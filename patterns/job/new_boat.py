"""A boat folder to fill in: a question mark for what the lines need, a row behind ``#`` for what wood needs."""

from __future__ import annotations

import csv
import io
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from patterns.drawing.text import LONGEST_NAME, unlettered
from patterns.job.keys_text import Blanks, table_lines
from patterns.parts.asked.rules import FrameKind, StationFace
from patterns.reading.boat.round_checks import NOT_MADE
from patterns.reading.offsets.laid_out import BLANK
from patterns.reading.toml.examples import in_units
from patterns.reading.toml.reference import KeySaid, TableSaid, tables_said
from patterns.units.cells import shielded
from patterns.units.lengths import Written, default_show
from patterns.units.notations import Notation, write_offset


@dataclass(frozen=True, slots=True)
class HullKind:
    """A kind of hull as its table has it."""

    about: str
    ends: tuple[str, str]  # the table's first and last column
    lines: tuple[str, ...]  # from the sheer down
    lapped: bool = False  # whether its side strakes are
    round: bool = False  # whether it is round-bilged, and so known by waterlines, buttocks and diagonals

    @property
    def is_v(self) -> bool:
        return "keel" in self.lines and not self.round

    @property
    def blank_ends(self) -> tuple[str, str]:
        """Lines whose end heights the profiles give."""
        return self.lines[0], self.lines[-1]


STEM_TRANSOM = ("stem", "transom")
TWO_CHINES = ("sheer", "chine 1", "chine 2")
HULLS = {
    "flat": HullKind("flat bottom, one chine, stem and transom", STEM_TRANSOM, ("sheer", "chine")),
    "v": HullKind("V bottom, one chine, stem and transom", STEM_TRANSOM, ("sheer", "chine", "keel")),
    "multi-chine": HullKind("V bottom, several chines, stem and transom", STEM_TRANSOM, (*TWO_CHINES, "keel")),
    "dory": HullKind("flat bottom, several chines, stem and transom", STEM_TRANSOM, TWO_CHINES),
    "lapped": HullKind(
        "flat bottom, lapped strakes, stem and transom", STEM_TRANSOM, (*TWO_CHINES, "chine 3"), lapped=True
    ),
    "pram": HullKind("flat bottom, one chine, a transom at both ends", ("bow transom", "transom"), ("sheer", "chine")),
    "round": HullKind(
        "round bilges on a keel, stem and transom, built over moulds", STEM_TRANSOM, ("sheer", "keel"), round=True
    ),
    "double-ended": HullKind("flat bottom, one chine, stem and sternpost", ("stem", "sternpost"), ("sheer", "chine")),
}


@dataclass(frozen=True, slots=True)
class NewBoat:
    """What is known of a boat before her plan is read."""

    name: str
    hull: HullKind
    units: str  # what a bare number means, one of `patterns.units.lengths.UNITS`; examples are in them
    stations: int  # how many stand between the ends
    spacing: Written | None = None  # from FP to station 1, and between stations; None where each is to be written
    lines_to: str | None = None  # None where the builder has yet to say
    heights_from: tuple[str, str] | None = None  # "water_line", and its height above base as written; None for base
    full: bool = False  # every table and key with its meaning

    @property
    def columns(self) -> tuple[str, ...]:
        return tuple(str(number) for number in range(1, self.stations + 1))


EXAMPLES = {
    "in": '"2-3-5" (feet-inches-eighths), "27 5/8" (inches)',
    "ft": '"2-3-5" (feet-inches-eighths), "2.3" (feet)',
    "mm": '"701.7" or "702" (mm)',
    "cm": '"70.17" or "70.2" (cm)',
    "m": '"0.7017" or "0.702" (m)',
}
IN_SHORT = (
    "planking.side",
    "planking.bottom",
    "laps",
    "frames",
    "chine_log",
    "inwale",
    "outwale",
    "rub_rail",
    "keel",
    "keel_batten",
    "skeg",
    "thwart",
    "breasthook",
    "quarter_knee",
)  # tables of wood that a short file shows: the parts that most boats have
CUTS = {"heights": ("buttock ?",), "half-breadths": ("waterline ?",) * 3 + ("diagonal A",)}
"""Rows that the table of a round hull begins with besides its lines."""
OF_MOULDS = {"kind": str(FrameKind.MOULD), "station_face": str(StationFace.END_WARD), "material": "plywood"}
V_KEEL = (("sided", "1 1/2 in"), ("moulded", "2 in"))  # a keel batten of a V bottom
WITH_MATERIAL = ("planking.side", "planking.bottom", "transom", "bow_transom", "frames")  # in a short file
WOOD = "THE WOOD. scrieve loft needs these tables, and the sizes above that say so."
PARTS = "THE OTHER PARTS. scrieve loft makes each that has a table."
DIAGONAL = "diagonals.A"  # of a round hull
LAPS = "laps"  # of a flat bottom: needed, though a chine_joint says the same


def new_boat(boat: NewBoat) -> dict[str, str]:
    """boat.toml and offsets.csv by their names."""
    return {"boat.toml": "\n".join(_toml(boat)) + "\n", "offsets.csv": _table(boat)}


def blanks_in(files: dict[str, str]) -> int:
    """How many figures wait for the builder."""
    rows = (row for text in files.values() for row in text.splitlines() if not row.startswith(("#", '"#')))
    return "".join(row.partition("#")[0] for row in rows).count(BLANK)


def plain_name(folder: str) -> str:
    """A boat's name from her folder's, which may hold what no page and no text file may."""
    written = unicodedata.normalize("NFC", " ".join(folder.split()))
    strange = unlettered(written)
    # A title after # would be a comment.
    plain = " ".join("".join(letter for letter in written if letter not in strange).split()).lstrip("# ")
    return plain[:LONGEST_NAME].rstrip() if any(map(str.isalnum, plain[:LONGEST_NAME])) else "Boat"


# --- boat.toml ---


def _toml(boat: NewBoat) -> Iterator[str]:
    yield f'# {boat.name}. Put the plan\'s figure for every "{BLANK}", here and in offsets.csv. The lines need no more.'
    yield f'# Write a length as {EXAMPLES[boat.units]}, or with its unit: "27 5/8 in", "701.7 mm".'
    yield "# The wood comes later: take the # off a row and write your own size, as measured."
    tables = [_fitted(table, boat) for table in tables_said() if _has(table, boat)]
    lines = [table for table in tables if table.of_lines and table.heading != "printer"]
    needed = [table for table in tables if table.needed and not table.of_lines]
    parts = [table for table in tables if table not in (*lines, *needed)]
    for title, group in ((), lines), ((WOOD,), needed), ((PARTS,), parts):
        yield from ("", *(f"# {words}" for words in title)) if title else ()
        for table in group:
            yield from ("", *table_lines(table, Blanks(boat.units, _known(boat))))
    if not boat.full:
        yield from ("", "# Every other table and key with its meaning: scrieve new DIR --full")


def _known(boat: NewBoat) -> dict[tuple[str, str], object]:
    """Values that are known already, by table and key."""
    known: dict[tuple[str, str], object] = {
        ("boat", "name"): boat.name,
        ("boat", "units"): boat.units,
        ("boat", "offsets"): "offsets.csv",
        ("frames", "stations"): list(boat.columns),
        ("boat", "show"): default_show(boat.units),
        ("printer", "paper"): "letter" if boat.units in ("in", "ft") else "a4",
    }
    if boat.hull.round:
        known |= {("frames", key): value for key, value in OF_MOULDS.items()}
    if boat.hull.is_v:  # where a batten is planed to both halves of the bottom, a narrow and deep one leaves wood
        known |= {("keel_batten", key): in_units(size, boat.units) for key, size in V_KEEL}
    if boat.lines_to:
        known["boat", "lines_to"] = boat.lines_to
    if boat.heights_from:
        known["boat", "heights_from"] = dict([boat.heights_from])
    return known


def _has(table: TableSaid, boat: NewBoat) -> bool:
    """Whether a boat of this kind may have a table, and a short file shows it."""
    heading, end = table.heading, table.heading.partition(".")[0].replace("_", " ")
    ends = ("stem", "bow transom", "transom", "sternpost")
    if end in ends and end not in boat.hull.ends:
        return False
    if boat.hull.round and heading.partition(".")[0] in NOT_MADE:
        return False
    fits = {
        DIAGONAL: boat.hull.round,
        "keel": boat.hull.round,
        "planking.side.layers": boat.hull.round,
        "planking.bottom": not boat.hull.round,
        f"{heading.partition('.')[0]}.framing": not boat.hull.round,
        "planking.strake_2": "chine 2" in boat.hull.lines,
        LAPS: boat.hull.lapped,
        "chine_log": not boat.hull.lapped,
        "breasthook": "stem" in boat.hull.ends,
        "quarter_knee": "transom" in boat.hull.ends,
    }
    return fits.get(heading, True) and (boat.full or (end in ends and "." not in heading) or _shown(heading))


def _shown(heading: str) -> bool:
    return heading in ("boat", DIAGONAL, *IN_SHORT)


def _fitted(table: TableSaid, boat: NewBoat) -> TableSaid:
    """A table with the keys that a boat of this kind may have; in a short file those of most use."""
    keys = []
    for key in table.keys:
        known = (table.heading, key.name) in _known(boat) and table.heading == "boat" and key.name != "show"
        needed = key.needed or known or (key.name == LAPS and not boat.hull.is_v)
        needed = needed or (boat.hull.round and (table.heading, key.name) == ("frames", "kind"))
        of_use = (key.name == "material" and table.heading in WITH_MATERIAL) or key.name == "heights_from"
        if (needed or of_use or boat.full) and _may_have(table, key, boat):
            keys.append(key.as_needed() if needed else key)
    of_end = table.heading.replace("_", " ") in boat.hull.ends or table.heading == DIAGONAL
    return table.with_keys(keys, needed=table.needed or of_end or (table.heading == LAPS and boat.hull.lapped))


def _may_have(table: TableSaid, key: KeySaid, boat: NewBoat) -> bool:
    if table.heading == "planking.side" and boat.hull.round:
        return key.name in ("thickness", "material")
    if table.heading != "planking.bottom":
        return True
    return {LAPS: not boat.hull.is_v, "boards": not boat.hull.is_v, "keel_joint": boat.hull.is_v}.get(key.name, True)


# --- offsets.csv ---


def _table(boat: NewBoat) -> str:
    hull = boat.hull
    blanks = (BLANK,) * (len(boat.columns) + 2)
    nothing = ("",) * len(blanks)
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    for comment in _comments(boat):
        writer.writerow((f"# {comment}",))
    writer.writerow((shielded(boat.name), hull.ends[0], *boat.columns, hull.ends[1]))
    writer.writerow(("from FP", "", *_from_fp(boat), ""))
    writer.writerow(("heights", *nothing))
    for line in hull.lines:
        writer.writerow((line, *(("", *blanks[2:], "") if line in hull.blank_ends else blanks)))
    cuts = CUTS if hull.round else {}
    of_cut = ("", *blanks[1:])  # on a stem a cut has no figure
    writer.writerows((name, *of_cut) for name in cuts.get("heights", ()))
    writer.writerow(("half-breadths", *nothing))
    # A keel line lies on the centre plane unless the plan gives it a half siding.
    writer.writerows((line, *blanks) for line in hull.lines if line != "keel" or hull.round)
    writer.writerows((name, *of_cut) for name in cuts.get("half-breadths", ()))
    return text.getvalue()


def _from_fp(boat: NewBoat) -> Sequence[str]:
    """Where the stations stand, in the notation of their spacing."""
    one = boat.spacing
    if one is None:
        return (BLANK,) * len(boat.columns)
    notation = Notation(one.style, one.unit, one.fineness, one.suffix, one.comma)
    return [write_offset(float(one.mm) * number, notation) for number in range(1, len(boat.columns) + 1)]


def _comments(boat: NewBoat) -> Iterator[str]:
    hull, (top, foot) = boat.hull, boat.hull.blank_ends
    yield f"Put the plan's figure for every {BLANK}. Clear a cell that the plan gives nothing for."
    yield f"Written as {EXAMPLES[boat.units].replace(chr(34), '')}. In a spreadsheet format the cells as text first."
    if boat.spacing is None:
        yield "from FP: how far each station stands aft of the forward perpendicular."
    else:
        yield "from FP: station 1 stands one spacing aft of the forward perpendicular. Correct it where yours does not."
    yield "Add a column for each further station and name it as the plan does."
    yield f"At both ends the heights of {top} and {foot} may stay empty: the profiles in boat.toml give them."
    for end in dict.fromkeys(hull.ends):
        yield from _end_comments(end, hull)
        if hull.is_v and "transom" not in end:
            yield "There the lowest chine ends where the keel does. Write 0 or half the keel's siding."
    if hull.round:
        yield from ROUND_COMMENTS
    if hull.is_v:
        yield "Where the bottom ends on a keel add a row keel to the half-breadths: half its siding."
    if "chine 1" in hull.lines:
        chines = len([line for line in hull.lines if line.startswith("chine")])
        yield f"For more chines add rows chine {chines + 1} and so on from the sheer down to both blocks."
    elif hull.ends != STEM_TRANSOM:
        yield "For a V bottom add a row keel to the heights."


ROUND_COMMENTS = (
    "The row keel is the rabbet: where the outside of the planking meets the keel. Its half-breadths: half the siding.",
    "A waterline is named by its height above base, a buttock by how far off the center line it lies: waterline 6 in.",
    "Add a row for each further waterline, buttock and diagonal; take out those that the plan has not.",
    "The surface between the last waterline and the sheer hangs on few figures: a diagonal there helps most.",
    "Figures of a diagonal run along it from the center line. [diagonals.A] in boat.toml says where it lies.",
    "Give the transom its figures too: half-breadths on the waterlines, heights above base on the buttocks.",
)


def _end_comments(end: str, hull: HullKind) -> Iterator[str]:
    """What a half-breadth in an end column is, and what it must agree with."""
    if end not in ("stem", "sternpost"):
        face = "fore" if end == "bow transom" else "after"
        yield f"Half-breadths at the {end}: from the center line to the edge of its {face} face."
        return
    if hull.round:
        yield f"Half-breadths at the {end}: half its siding, where the face of the planking that lines_to names ends."
        return
    side = "inside of the planking" if hull.lapped else "face of the planking that lines_to names"
    yield f"Half-breadths at the {end}: from the center line to where the {side} ends on the {end}'s face."
    yield f"[{end}] sided must be more than twice that half-breadth, measured to the inside of the planking."
