"""Sizes of saws and of what is left beside a cut, each between the least and the most a real one has.

Every limit is common practice, no single source: wide enough for a fine pull saw and for a beam saw, so that what lies
beyond it is a slip of a unit or of a decimal point.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Annotated

from pydantic import AfterValidator, BeforeValidator, ValidationInfo

from patterns.reading.toml.fields import Degrees, Distance, fault, pair
from patterns.units.lengths import INCH

PIN = INCH / 8  # mm, the least a pin measures: two of them stand so much closer than the shoe is long
LEAST_TILT = 15.0  # degrees; a saw that tilts less has a fixed shoe
STEP_OF_TESTS = INCH / 8  # mm, and as much again for each degree: from one test cut to the next


def _between(low: float, high: float, what: str, cure: str = "") -> AfterValidator:
    def check(mm: float) -> float:
        if not low <= mm <= high:
            raise fault(f"{what}, from {both_units(low)} to {both_units(high)}{cure}")
        return mm

    return AfterValidator(check)


def both_units(mm: float) -> str:
    """A size in inches and in mm."""
    return f"{mm / INCH:.4g} in ({mm:.4g} mm)" if mm else "0"


Kerf = Annotated[Distance, _between(0.01 * INCH, INCH / 4, "the width of a saw's cut")]
Planing = Annotated[Distance, _between(0.0, INCH / 2, "the wood left for the plane")]
Holding = Annotated[
    Distance,
    _between(
        INCH / 8,
        4 * INCH,
        "the wood left to hold the board beyond a cut",
        "; with less the blade runs out of the board's edge: use a wider board",
    ),
]
BoardEnds = Annotated[Distance, _between(0.0, 24 * INCH, "wood left or cut off at the ends, both together")]
BoardEdges = Annotated[Distance, _between(0.0, 4 * INCH, "wood left or cut off along the edges, both together")]
BladeDiameter = Annotated[Distance, _between(2 * INCH, 24 * INCH, "the diameter of a circular saw's blade")]
Shank = Annotated[Distance, _between(INCH / 32, INCH / 2, "the diameter of a fastening's shank")]
ShortOf = Annotated[Distance, _between(0.0, INCH, "the wood left beyond a fastening's point")]
ShoeLength = Annotated[Distance, _between(3 * INCH, 36 * INCH, "the length of a saw's shoe")]


def _thinner_than_its_kerf(mm: float, info: ValidationInfo) -> float:
    kerf = info.data.get("kerf")
    if kerf is not None and mm > kerf:
        raise fault(f"a blade's body no thicker than the kerf of {both_units(kerf)} it cuts")
    return mm


Plate = Annotated[
    Distance,
    _between(0.005 * INCH, INCH / 4, "the thickness of the blade's body"),
    AfterValidator(_thinner_than_its_kerf),
]


def _within_the_blade(mm: float, info: ValidationInfo) -> float:
    diameter = info.data.get("blade_diameter")
    if diameter is not None and mm > diameter / 2:
        raise fault(f"a cut no deeper than half the blade's diameter, {both_units(diameter / 2)}")
    return mm


Deepest = Annotated[
    Distance,
    _between(INCH / 8, 12 * INCH, "the deepest cut below the shoe"),
    AfterValidator(_within_the_blade),
]


def _on_the_shoe(mm: float, info: ValidationInfo) -> float:
    shoe = info.data.get("shoe_length")
    if shoe is not None and mm > shoe - PIN:
        raise fault(
            f"two pins that stand within the shoe, no more than {both_units(shoe - PIN)} apart; leave pins out where "
            "the bare edge of the shoe runs along the guide batten"
        )
    return mm


Pins = Annotated[
    Distance,
    _between(INCH, 36 * INCH, "the distance between two pins in the shoe's edge"),
    AfterValidator(_on_the_shoe),
]

_ShoeToCut = Annotated[Distance, _between(INCH / 16, 12 * INCH, "from the shoe's edge to the near side of a test cut")]
TestCut = Annotated[
    tuple[Degrees, _ShoeToCut], BeforeValidator(pair("a tilt in degrees and a distance from shoe edge to cut"))
]


def _one_saws_own(cuts: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    """Test cuts of one saw: one at each tilt, and no jump between two neighbours."""
    by_tilt = sorted(cuts)
    if not by_tilt or by_tilt[0][0] > 0:
        raise fault(
            'a test cut at 0 degrees first, such as [0, "5 3/8 in"], for the edges that are square; leave guide out '
            "until you have made test cuts"
        )
    for (tilt, distance), (steeper, other) in pairwise(by_tilt):
        if tilt == steeper:
            raise fault("one test cut of the guide at each tilt")
        most = STEP_OF_TESTS * (1 + steeper - tilt)
        if abs(other - distance) > most:
            raise fault(
                f"test cuts that change by no more than {both_units(most)} from {tilt:g} to {steeper:g} degrees; "
                f"measure {both_units(distance)} and {both_units(other)} again"
            )
    return cuts


TestCuts = Annotated[tuple[TestCut, ...], AfterValidator(_one_saws_own)]


def tilts_as_tested(tilts_to: float, guide: Sequence[tuple[float, float]] | None) -> float:
    """A saw that tilts at all, and as far as it was tested."""
    if tilts_to < LEAST_TILT:
        raise fault(
            f"degrees that the saw tilts to, from {LEAST_TILT:g} to 60; if its shoe is fixed, leave tilts_to out and "
            "have in guide the test cut at 0 degrees alone"
        )
    steepest = max((tilt for tilt, _ in guide or ()), default=0.0)
    if steepest > tilts_to:
        raise fault(f"{tilts_to:g} degrees or less in every test cut of guide, or a tilts_to of {steepest:g} or more")
    return tilts_to


def _tilts_as_tested(tilts_to: float, info: ValidationInfo) -> float:
    return tilts_as_tested(tilts_to, info.data.get("guide"))


TiltsTo = Annotated[Degrees, AfterValidator(_tilts_as_tested)]
