"""A boat folder to fill in: what must be known stands in it as a question mark."""

from __future__ import annotations

import csv
import io
import json
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from string import Template

from patterns.drawing.text import LONGEST_NAME, unlettered
from patterns.units.cells import shielded
from patterns.units.lengths import default_show

TEMPLATE = Path(__file__).parent / "templates" / "boat.toml"
BLANK = "?"


@dataclass(frozen=True, slots=True)
class HullKind:
    """A kind of hull as its table has it."""

    about: str
    ends: tuple[str, str]  # the table's first and last column
    lines: tuple[str, ...]  # from the sheer down
    lapped: bool = False  # whether its side strakes are


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
    "double-ended": HullKind("flat bottom, one chine, stem and sternpost", ("stem", "sternpost"), ("sheer", "chine")),
}

_EXAMPLES = {
    "in": '"2-3-5" (feet-inches-eighths) or "27 5/8"',
    "ft": '"2-3-5" (feet-inches-eighths) or "2.3"',
    "mm": '"701.7" or "702"',
    "cm": '"70.17" or "70.2"',
    "m": '"0.7017" or "0.702"',
}
_WITHIN = {"in": "1/8 in", "ft": "1/8 in", "mm": "3 mm", "cm": "3 mm", "m": "3 mm"}
_GAIN = {"in": "12 in", "ft": "12 in", "mm": "300 mm", "cm": "30 cm", "m": "0.3 m"}
_LEAST = {"in": "1/16 in", "ft": "1/16 in", "mm": "1.6 mm", "cm": "1.6 mm", "m": "1.6 mm"}
_MATERIAL = '# material = "marine plywood"'
_LINES_TO = f'''"{BLANK}"                     # "outside of planking" or "inside of planking": the plan says which'''
_LINES_TO_MOULDS = '"inside of planking"    # of lapped strakes the lines are the corners of the moulds'
_END = {
    "stem": "the face the planking ends on",
    "bow transom": "its fore face on the centre line",
    "transom": "its after face on the centre line",
    "sternpost": "the face the planking ends on",
}


def new_boat(name: str, hull: HullKind, *, units: str, stations: int) -> dict[str, str]:
    """boat.toml and offsets.csv by their names.

    Parameters
    ----------
    units : str
        What a bare number means, one of `patterns.units.lengths.UNITS`; the hints are in them.
    stations : int
        How many stand between the ends.
    """
    name = _name_from(name)
    columns = tuple(str(number) for number in range(1, stations + 1))
    return {
        "boat.toml": _toml(name, hull, units, columns),
        "offsets.csv": _table(name, hull, units, columns),
    }


def _name_from(folder: str) -> str:
    """A boat's name from her folder's, which may hold what no sheet and no text file may."""
    written = unicodedata.normalize("NFC", " ".join(folder.split()))
    strange = unlettered(written)
    # A title after # would be a comment.
    plain = " ".join("".join(letter for letter in written if letter not in strange).split()).lstrip("# ")
    return plain[:LONGEST_NAME].rstrip() if any(map(str.isalnum, plain[:LONGEST_NAME])) else "Boat"


def _toml(name: str, hull: HullKind, units: str, columns: tuple[str, ...]) -> str:
    show, within = default_show(units), _WITHIN[units]
    return Template(TEMPLATE.read_text(encoding="utf-8")).substitute(
        name=name,
        name_quoted=json.dumps(name, ensure_ascii=False),
        examples=_EXAMPLES[units],
        units=units,
        units_pad=" " * (22 - len(units)),
        within=within,
        within_pad=" " * (20 - len(within)),
        show=show,
        show_pad=" " * (20 - len(show)),
        lines_to=_LINES_TO_MOULDS if hull.lapped else _LINES_TO,
        ends="\n".join(_end(end) for end in hull.ends),
        planking="\n".join(_planking(hull, units)),
        stations=json.dumps(columns),
        paper="letter" if units in ("in", "ft") else "A4",
    )


def _end(end: str) -> str:
    lines = [
        f"[{end.replace(' ', '_')}]",
        "# [distance from FP, height above base] of points from the sheer down"
        + (": two, for it is straight" if "transom" in end else ", as many as the plan gives"),
        f'profile   = [["{BLANK}", "{BLANK}"], ["{BLANK}", "{BLANK}"]]   # {_END[end]}',
    ]
    if "transom" in end:
        lines += [f'thickness = "{BLANK}"', '# crown    = "0"                     # top edge above the sheer corners']
    else:
        lines += [f'sided     = "{BLANK}"                       # thickness athwart']
        lines += [f'moulded   = "{BLANK}"                       # depth fore and aft, in profile']
    return "\n".join(lines) + "\n"


def _planking(hull: HullKind, units: str) -> Iterator[str]:
    """The tables of the strakes, from the sheer down, and of their laps."""
    yield "[planking.side]"
    yield f'thickness = "{BLANK}"                       # as measured on the stock, not as sold'
    yield f"{_MATERIAL}\n"
    if "chine 2" in hull.lines:
        yield "# A strake between side and bottom is as the one above it. Where it is not, give it a table:"
        yield "# [planking.strake_2]"
        yield f'# thickness   = "{BLANK}"'
        others = "half angle" if hull.lapped else "lower over upper"
        yield _key(
            "# chine_joint", "lapped" if hull.lapped else "half angle", f'with the strake above; or "{others}"\n'
        )
    yield "[planking.bottom]"
    yield f'thickness = "{BLANK}"'
    if "keel" in hull.lines:
        yield _key("# chine_joint", "half angle", 'with the strake above; or "lower over upper", "upper over lower"')
        yield _key("# keel_joint", "half angle", 'along the centre; or "on the keel", "in a rabbet"')
    else:
        yield f'laps      = "{BLANK}"                       # "over the sides" or "between the sides"'
    yield f"{_MATERIAL}\n"
    if hull.lapped:
        yield "[laps]"
        yield f'width     = "{BLANK}"                       # of the face that the strake above lies on'
        yield _key("# gain", _GAIN[units], "from each end, where a lap fades until its strakes lie flush")
        yield _key("# least", _LEAST[units], "thickness that a bevel must leave at the top edge of a strake\n")


def _key(key: str, value: str, comment: str) -> str:
    """A key with a value it may have, and what it means, in their columns."""
    said = f'{key:13} = "{value}"'
    return f"{said:37} # {comment}"


def _table(name: str, hull: HullKind, units: str, columns: tuple[str, ...]) -> str:
    blanks = (BLANK,) * (len(columns) + 2)
    nothing = ("",) * len(blanks)
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    for comment in _comments(hull, units):
        writer.writerow((comment,))
    writer.writerow((shielded(name), hull.ends[0], *columns, hull.ends[1]))
    writer.writerow(("from FP", "", *blanks[2:], ""))
    writer.writerow(("heights", *nothing))
    writer.writerows((line, *blanks) for line in hull.lines)
    writer.writerow(("half-breadths", *nothing))
    # A keel line lies on the centre plane unless the plan gives it a half siding.
    writer.writerows((line, *blanks) for line in hull.lines if line != "keel")
    return text.getvalue()


def _comments(hull: HullKind, units: str) -> tuple[str, ...]:
    comments: tuple[str, ...] = (
        f"# Put the plan's figures for every {BLANK}; clear a cell the plan gives nothing for.",
        f"# Written as {_EXAMPLES[units].replace(chr(34), '')}. In a spreadsheet format the cells as text first.",
        "# Add a column for each further station and name it as the plan does; from FP says where each stands.",
    )
    if "keel" in hull.lines:
        comments = (
            *comments,
            "# Where the bottom ends on a keel, add a row keel to the half-breadths: half its siding.",
        )
    if "chine 1" in hull.lines:
        chines = len([line for line in hull.lines if line.startswith("chine")])
        more = f"# Add rows chine {chines + 1} and so on from the sheer down, in both blocks, for more chines."
        return (*comments, more)
    if hull.ends != STEM_TRANSOM:
        return (*comments, "# For a V bottom add a row keel to the heights, and take laps out of boat.toml.")
    return comments
