"""Random fair boats as tables of offsets, drawn in two unlike ways, and faults seeded into them.

``by_bending`` integrates a line's bending twice from a few broad smooth swells; ``by_pins`` springs a natural cubic
spline, the elastic strip of the textbooks, through four to six pins and keeps it where it turns fair. Neither knows the
shape of any sample. Lengths mm.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline
from scipy.optimize import brentq

from patterns.geometry.cuts import Profile
from patterns.hull.build import Stem, Transom
from patterns.hull.doubts.misreadings import Slip
from patterns.hull.offsets import OffsetRow, Offsets
from patterns.units.lengths import read_length
from patterns.units.notations import Notation, write_offset

Floats = NDArray[np.float64]
Shape = Callable[[Floats], Floats]
"""Of u, running from a little under 0 to a little over 1."""

NOTATIONS = (
    Notation("eighths", "in", 8),
    Notation("eighths", "in", 16),
    Notation("decimals", "mm", 0),
    Notation("decimals", "cm", 1),
)
TRIES = 1000
SWEEP = np.linspace(-0.15, 1.15, 521)


@dataclass(frozen=True, eq=False)
class Plan:
    """A clean table with the ends it runs to, and how it is written."""

    offsets: Offsets
    fore: Stem
    aft: Transom
    notation: Notation


def by_bending(rng: np.random.Generator, first: float, last: float, belly: float, reverse: bool) -> Shape:
    """From ``first`` to ``last``, standing ``belly`` off its chord; bending of one sign unless ``reverse``."""
    bending = np.full(SWEEP.shape, rng.uniform(0.2, 1.0))
    for _ in range(rng.integers(1, 4)):
        middle, width = rng.uniform(0.0, 1.0), rng.uniform(0.22, 0.5)
        bending += rng.uniform(0.0, 1.5) * np.exp(-(((SWEEP - middle) / width) ** 2))
    if reverse:
        bending -= rng.uniform(1.0, 1.8) * bending.max() / (1 + np.exp((SWEEP - rng.uniform(0.05, 0.2)) / 0.07))
    step = SWEEP[1] - SWEEP[0]
    curve = np.cumsum(np.cumsum(bending)) * step**2
    return _fitted(CubicSpline(SWEEP, curve), first, last, belly)


def by_pins(rng: np.random.Generator, first: float, last: float, belly: float, reverse: bool) -> Shape:
    """The same, sprung through pins; drawn again until it bends one way only, or two where ``reverse``."""
    for _ in range(TRIES):
        count = int(rng.integers(4, 7))
        pins = np.linspace(0.0, 1.0, count) + np.r_[0.0, rng.uniform(-0.25, 0.25, count - 2) / (count - 1), 0.0]
        power = rng.uniform(0.8, 1.25)
        heights = -4 * pins**power * (1 - pins**power) + np.r_[0.0, rng.normal(0.0, 0.05, count - 2), 0.0]
        spline = CubicSpline(pins, heights, bc_type="natural")
        bending = spline(np.linspace(0.02, 0.98, 97), 2)
        turns = int((np.diff(np.sign(bending)) != 0).sum())
        if turns <= int(reverse) and np.abs(np.diff(spline(pins, 2))).max() < 1.6 * np.abs(bending).max():
            return _fitted(spline, first, last, belly)
    raise AssertionError("pins that will not spring fair")


def _fitted(curve: CubicSpline, first: float, last: float, belly: float) -> Shape:
    """The curve sheared and stretched to its ends and its greatest distance off the chord."""
    low, high = float(curve(0.0)), float(curve(1.0))
    inner = np.linspace(0.0, 1.0, 201)
    sag = np.abs(curve(inner) - low - (high - low) * inner).max()

    def shape(u: Floats) -> Floats:
        return np.asarray(first + (last - first) * u + belly * (curve(u) - low - (high - low) * u) / sag)

    return shape


def draw_plan(seed: int, shaped: Callable[..., Shape]) -> Plan:
    """A boat of 2.4 to 7 m, 5 to 13 stations, a sheer and one to three lines below it."""
    rng = np.random.default_rng(seed)
    return next(plan for _ in range(TRIES) if (plan := _drawn(rng, shaped)) is not None)


def _drawn(rng: np.random.Generator, shaped: Callable[..., Shape]) -> Plan | None:
    """One boat, or None where a line runs by the profile it was to end on."""
    notation = NOTATIONS[rng.integers(len(NOTATIONS))]
    length = rng.uniform(2400.0, 7000.0)
    depth = length * rng.uniform(0.1, 0.16)
    names = ("sheer", "chine") if rng.random() < 0.6 else ("sheer", "chine 1", "chine 2")
    keel = rng.random() < 0.3
    rake_fore, rake_aft = rng.uniform(0.0, 0.7), rng.uniform(0.0, 0.35)
    heights = _heights(rng, shaped, length, depth, names, keel)
    top = float(heights["sheer"](np.array(0.0)))
    low = min(float(shape(np.array(u))) for shape in heights.values() for u in (0.0, 1.0))
    bow = rng.uniform(-0.03, 0.03) * length if rng.random() < 0.4 else 0.0
    fore = _profile(0.0, rake_fore, top, low, bow)
    stern_top = float(heights["sheer"](np.array(1.0)))
    aft = _profile(length, -rake_aft, stern_top, low, 0.0)
    spans = {
        name: (_meets(shape, fore, length, 0.0), _meets(shape, aft, length, length)) for name, shape in heights.items()
    }
    if any(end is None for span in spans.values() for end in span):
        return None
    stations = _stations(rng, notation, max(a for a, _ in spans.values()), min(b for _, b in spans.values()))
    siding = rng.uniform(8.0, 30.0)
    widths = _widths(rng, shaped, length, names, siding)
    datum = rng.uniform(0.1, 0.3) * depth if rng.random() < 0.15 else 0.0
    rows: list[OffsetRow] = []
    breadths: list[OffsetRow] = []
    for name, shape in heights.items():
        first, last = spans[name]
        at = np.r_[first, stations, last]
        rows.append(OffsetRow(name, rounded(shape(at / length) - datum, notation)))
        if name in widths:
            breadths.append(OffsetRow(name, rounded(widths[name]((at - first) / (last - first)), notation)))
    columns = ("stem", *(str(i + 1) for i in range(len(stations))), "transom")
    offsets = Offsets(columns, np.r_[np.nan, stations, np.nan], tuple(rows), tuple(breadths), notation.step, notation)
    shift = np.array([0.0, datum])
    return Plan(offsets, Stem(fore - shift, sided=50.0, moulded=80.0), Transom(aft - shift, 19.0, 0.0, "oak"), notation)


def _heights(
    rng: np.random.Generator,
    shaped: Callable[..., Shape],
    length: float,
    depth: float,
    names: tuple[str, ...],
    keel: bool,
) -> dict[str, Shape]:
    sheer = shaped(
        rng, depth * rng.uniform(1.2, 1.6), depth * rng.uniform(1.0, 1.25), length * rng.uniform(0.02, 0.045), False
    )
    found = {"sheer": sheer}
    for place, name in enumerate(names[1:], start=1):
        share = 1 - place / (len(names) - 1)
        rocker = length * rng.uniform(0.012, 0.035)
        base = share * depth * 0.45
        found[name] = shaped(
            rng,
            base + rocker + depth * rng.uniform(0.0, 0.25),
            base + rocker * rng.uniform(0.4, 1.2),
            rocker,
            rng.random() < 0.15,
        )
    if keel:
        rocker = length * rng.uniform(0.01, 0.02)
        found["keel"] = shaped(rng, rocker - 0.05 * depth, rocker * rng.uniform(0.3, 1.0) - 0.05 * depth, rocker, False)
    return found


def _widths(
    rng: np.random.Generator, shaped: Callable[..., Shape], length: float, names: tuple[str, ...], siding: float
) -> dict[str, Shape]:
    half = length * rng.uniform(0.12, 0.2)
    found = {}
    for place, name in enumerate(names):
        most = half * (1 - 0.3 * place / (len(names) - 1))
        last = most * rng.uniform(0.45, 0.85)
        belly = -(most - (siding + last) / 2) * rng.uniform(0.9, 1.1)
        found[name] = shaped(rng, siding, last, belly, rng.random() < 0.2)
    return found


def _profile(at: float, rake: float, top: float, low: float, bow: float) -> Floats:
    """An end's profile from above the sheer to below the lowest line, straight or bowed."""
    z = np.array([top, (top + low) / 2, low - 5.0])
    x = at + rake * (top - z) + np.array([0.0, bow, 0.0])
    return np.stack([x, z], axis=1)[:: 2 if bow == 0.0 else 1]


def _meets(shape: Shape, profile: Floats, length: float, near: float) -> float | None:
    face = Profile(profile)
    sweep = near + length * np.linspace(-0.14, 0.14, 57)
    past = sweep - face.at_height(shape(sweep / length))
    cross = np.flatnonzero(np.diff(past > 0))
    if len(cross) != 1:
        return None
    low, high = sweep[cross[0]], sweep[cross[0] + 1]
    return float(brentq(lambda x: float(x - face.at_height(shape(np.array([x / length])))[0]), low, high, xtol=1e-9))


def _stations(rng: np.random.Generator, notation: Notation, low: float, high: float) -> Floats:
    count = int(rng.integers(5, 14))
    room = high - low
    if rng.random() < 0.8:
        space = room / (count + rng.uniform(0.3, 1.2))
        unit = 25.4 if notation.unit == "in" else 10.0
        space = max(np.floor(space / unit), 1.0) * unit
        start = np.ceil((low + (room - space * (count - 1)) / 2) / unit) * unit
        return np.asarray(start + space * np.arange(count))
    shares = np.cumsum(rng.uniform(0.6, 1.4, count + 1))
    return rounded(low + room * shares[:-1] / shares[-1], notation)


def rounded(values: Floats, notation: Notation) -> Floats:
    """Values as the table has them: written and read again."""
    texts = [write_offset(float(value), notation) for value in values]
    return np.array([read_length(text, notation.unit).mm for text in texts])


# --- Faults ---

KINDS = {
    "foot": (Slip.FOOT,),
    "inch": (Slip.INCH,),
    "digit": (Slip.DIGIT,),
    "digits swapped": (Slip.SWAPPED_DIGITS,),
    "full for half": (Slip.BREADTH,),
    "other line": (Slip.OTHER_LINE,),
    "sign": (Slip.SIGN,),
    "neighbours": (Slip.NEIGHBOURS,),
    "spacing": (Slip.SPACING,),
}
LOOKALIKES = ("17", "38", "68", "56", "35", "06", "49", "08")


@dataclass(frozen=True, eq=False)
class Seeded:
    """A table with one fault in it."""

    kind: str
    offsets: Offsets
    line: str  # "from FP" where a station's distance is the fault
    view: str
    columns: tuple[str, ...]  # the cells that are wrong: one, or two that changed places
    size: float  # mm

    @property
    def slips(self) -> tuple[Slip, ...]:
        """What the program calls a fault of this kind."""
        return KINDS[self.kind]


def seed_fault(plan: Plan, kind: str, rng: np.random.Generator) -> Seeded | None:
    """The plan with one fault of a kind, more than four steps of its notation; None where the cell drawn takes none."""
    table = plan.offsets
    if kind == "spacing":
        return _bad_spacing(plan, rng)
    view = (
        "half-breadth"
        if kind == "full for half"
        else "height"
        if kind == "sign"
        else rng.choice(["height", "half-breadth"])
    )
    block = table.heights if view == "height" else table.half_breadths
    row = block[rng.integers(len(block))]
    at = int(rng.integers(len(row.values)))
    values = row.values.copy()
    columns: tuple[str, ...] = (table.columns[at],)
    if kind == "neighbours":
        at = min(at, len(values) - 2)
        values[[at, at + 1]] = values[[at + 1, at]]
        columns = (table.columns[at], table.columns[at + 1])
    else:
        wrong = _wrong(kind, float(values[at]), block, row, at, plan.notation, rng)
        if wrong is None or (view == "half-breadth" and wrong < 0):
            return None
        values[at] = wrong
    size = float(np.abs(values - row.values).max())
    if size <= 4 * table.rounding:
        return None
    changed = tuple(OffsetRow(r.name, values) if r is row else r for r in block)
    faulty = replace(table, **{"heights" if view == "height" else "half_breadths": changed})
    return Seeded(kind, faulty, row.name, view, columns, size)


def _wrong(
    kind: str,
    value: float,
    block: tuple[OffsetRow, ...],
    row: OffsetRow,
    at: int,
    notation: Notation,
    rng: np.random.Generator,
) -> float | None:
    match kind:
        case "foot" | "inch":
            size = 304.8 if kind == "foot" else 25.4
            return value + size * rng.choice([-1, 1]) if notation.unit == "in" else None
        case "digit" | "digits swapped":
            text = write_offset(value, notation)
            texts = _misread(text) if kind == "digit" else _swapped(text)
            return _read(texts[rng.integers(len(texts))], notation) if texts else None
        case "full for half":
            return value * rng.choice([2.0, 0.5])
        case "other line":
            others = [other for other in block if other is not row]
            return float(others[rng.integers(len(others))].values[at]) if others else None
        case "sign":
            return -value
        case _:
            raise KeyError(kind)


def _misread(text: str) -> list[str]:
    return [
        text[:i] + pair.replace(sign, "") + text[i + 1 :]
        for i, sign in enumerate(text)
        for pair in LOOKALIKES
        if sign in pair
    ]


def _swapped(text: str) -> list[str]:
    """Two neighbouring digits, or two neighbouring parts of 2-3-5, changed about."""
    body = text.rstrip("+-")
    parts = body.lstrip("-").split("-")
    if len(parts) == 3:
        sign, mark = "-" * body.startswith("-"), text[len(body) :]
        orders = ((1, 0, 2), (0, 2, 1), (2, 1, 0))
        found = [sign + "-".join(parts[i] for i in order) + mark for order in orders]
    else:
        found = [
            text[:i] + text[i + 1] + text[i] + text[i + 2 :] for i in range(len(text) - 1) if text[i : i + 2].isdigit()
        ]
    return [other for other in found if other != text]


def _read(text: str, notation: Notation) -> float | None:
    try:
        return read_length(text, notation.unit).mm
    except ValueError:
        return None


def _bad_spacing(plan: Plan, rng: np.random.Generator) -> Seeded | None:
    """A station's distance misread, where all were equally spaced."""
    table = plan.offsets
    x = table.from_fp.copy()
    gaps = np.diff(x[1:-1])
    if len(gaps) < 4 or np.ptp(gaps) > 0.5 * table.rounding:
        return None
    at = int(rng.integers(1, len(x) - 1))
    texts = _misread(write_offset(float(x[at]), plan.notation))
    wrong = _read(texts[rng.integers(len(texts))], plan.notation) if texts else None
    ends = (plan.fore.profile[:, 0].min(), plan.aft.profile[:, 0].max())
    if wrong is None or not ends[0] < wrong < ends[1]:
        return None
    size = abs(wrong - float(x[at]))
    x[at] = wrong
    if size <= 4 * table.rounding or (np.diff(x[1:-1]) <= 0).any():
        return None
    return Seeded("spacing", replace(table, from_fp=x), "from FP", "station", (table.columns[at],), size)
