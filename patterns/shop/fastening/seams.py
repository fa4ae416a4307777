"""Seams of the boat: along what each panel and rail is fastened, how long, how far apart, how many, and with what."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, floor, fsum

import numpy as np
import shapely

from patterns.geometry.arrays import Floats, run_along
from patterns.geometry.short_repr import brief
from patterns.parts.asked.rules import Boat, FrameKind
from patterns.parts.part import Edge, Mark, Part
from patterns.parts.role import EdgeKind, MarkKind, Role
from patterns.parts.whole import Job
from patterns.shop.fastening.rules import FastenRules
from patterns.shop.router.pilots import Fastened, fastened, spaced
from patterns.shop.router.router_rules import RouterRules
from patterns.units.lengths import INCH

OWN_LINE = (Role.OUTWALE, Role.RUB_RAIL, Role.STRINGER, Role.RISER, Role.KEEL_BATTEN, Role.KEELSON)
"""Long pieces fastened along a line of their own. A log or an inwale is fastened along the edge of its panel."""
SIZES = tuple((gauge, (0.060 + 0.013 * gauge) * INCH, length * INCH) for gauge, length in (
    (4, 0.625), (6, 0.75), (8, 1.25), (10, 1.75), (12, 2.5), (14, 4.0),
))  # fmt: skip
"""(number, mm shank, mm the longest it is proposed for). Shanks: 0.060 in and 0.013 in for each number (ASME B18.6.1,
Wood Screws). Which number for which length is common practice, no single source."""
ROOT = 2 / 3  # of a shank: the root of a wood screw's thread. Common practice, no single source
LEADS = (0.7, 0.9)  # of the root: lead hole in soft wood and in hard wood. Common practice, no single source
STEP = INCH / 8  # mm; fastenings are sold by such lengths
ROW = 1  # of fastenings along each line


@dataclass(frozen=True, slots=True)
class Fastening:
    """What a seam is fastened with: wood screws by number, or nails of that length."""

    length: float  # mm
    number: int | None  # of a wood screw; None where the builder gives his own shank
    shank: float  # mm

    @property
    def leads(self) -> tuple[float, float]:
        """mm, diameters of the pilot for its thread in soft and in hard wood."""
        soft, hard = (share * ROOT * self.shank for share in LEADS)
        return soft, hard


@dataclass(frozen=True, slots=True, eq=False)
class Seam:
    """One line of fastenings on one part; a pair has one on each hand."""

    part: str  # its title
    along: str  # "chine", "frame 3", "fastening line"
    into: str  # what is behind it: "chine log", "frame", ...
    length: float  # mm
    edge: float  # mm from the planed edge, or from the face that stands on the station; 0 along a line of its own
    spacing: float  # mm, no further apart
    places: Floats  # (k, 2) mm in the part's axes
    fastening: Fastening
    rows: int = ROW
    clear: shapely.Geometry | None = None  # of a panel: the runs of the line where one may stand

    __repr__ = brief

    @property
    def count(self) -> int:
        """How many fastenings."""
        return len(self.places)


def seams(job: Job, router: RouterRules, rules: FastenRules) -> tuple[Seam, ...]:
    """Every seam of planking and rails."""
    found: list[Seam] = []
    for part in job.parts:
        if part.role is Role.PANEL and not part.of_boards:
            wood = shapely.Polygon(part.outline).buffer(0)
            for one in fastened(part, router, wood):
                found += _of_panel(job.boat, part, one, rules, router)
        elif part.role in OWN_LINE:
            found += _of_rail(job, part, rules)
    return tuple(one for one in found if one.count)


def totals(all_seams: Sequence[Seam], rules: FastenRules) -> tuple[tuple[Fastening, int, int], ...]:
    """Of each kind of fastening how many are counted, and how many with some to spare, shortest first."""
    kinds = sorted({one.fastening for one in all_seams}, key=lambda one: (one.length, one.shank))
    counts = [(kind, sum(one.count for one in all_seams if one.fastening == kind)) for kind in kinds]
    return tuple((kind, count, ceil(count * (1 + rules.spare / 100) - 1e-9)) for kind, count in counts)


def fastening_for(thickness: float, behind: float | None, rules: FastenRules) -> Fastening:
    """So many times the thickness fastened, no longer than wood is behind; both mm, ``behind`` None where it is deep.

    A length between two that are sold is taken up where there is wood for it, else down: a point that comes through is
    worse than one a little short.
    """
    most = np.inf if behind is None else thickness + behind - rules.short_of
    length = ceil(rules.length_times * thickness / STEP - 1e-6) * STEP
    if length > most:
        length = max(floor(most / STEP + 1e-6) * STEP, STEP)
    if rules.shank is not None:
        return Fastening(float(length), None, rules.shank)
    number, shank, _ = next((one for one in SIZES if length <= one[2] + 1e-6), SIZES[-1])
    return Fastening(float(length), number, shank)


def _of_panel(boat: Boat, part: Part, one: Fastened, rules: FastenRules, router: RouterRules) -> Iterator[Seam]:
    held = _behind(boat, one.of)
    if held is None:
        return
    into, behind = held
    frame = isinstance(one.of, Mark) and one.of.kind is MarkKind.FRAME
    yield Seam(
        part=part.title,
        along=one.of.name if isinstance(one.of, Mark) else one.of.either_hand,
        into=into,
        length=float(run_along(one.line)[-1]),
        edge=router.frame_sided / 2 if frame else router.pilot_edge,
        spacing=one.spacing,
        places=one.places,
        fastening=fastening_for(part.thickness, behind, rules),
        clear=one.clear,
    )


def _behind(boat: Boat, of: Edge | Mark) -> tuple[str, float | None] | None:
    """What is behind a line of a panel, and how thick that is: mm, None where it is deep. None where nothing is.

    Panels that meet at a chine without a log hold no fastening in their edges: they are stitched, or glued in a lap.
    """
    lines = boat.offsets.lines
    if isinstance(of, Mark):
        if of.kind is MarkKind.FRAME:
            # Moulds are temporary: what holds planking to them comes out again.
            kept = boat.frames is not None and boat.frames.kind is not FrameKind.MOULD
            return ("frame", None) if kept else None
        log = boat.long.log_at(lines[len(boat.skin.joints)])
        return (log.name, log.moulded) if log else None
    name = of.either_hand
    if of.kind is EdgeKind.CHINE:
        log = boat.long.log_at(name)
        return (log.name, log.sided) if log else None
    if name == lines[0]:
        rail = boat.long.inwale or boat.long.outwale
        return (rail.name, rail.sided) if rail else None
    return name, None


def _of_rail(job: Job, part: Part, rules: FastenRules) -> Iterator[Seam]:
    """A rail along its fastening line, through the planking that it lies on; an outwale into the inwale behind it.

    Where an inwale is in the way of fastenings from inside, the outwale is fastened from outside, through both.
    """
    piece = next((one for one in job.long_pieces if one.part.title == part.title), None)
    # A keel of a V bottom is no sprung piece: it lies on the strakes beside it, the lowest.
    planking = (piece.strake.planking if piece else job.boat.skin.planking[-1]).thickness
    inwale = job.boat.long.inwale
    if part.role is Role.OUTWALE and inwale is not None:
        into = "planking and inwale"
        fastening = fastening_for(part.thickness, planking + inwale.sided, rules)
    else:
        into = f"{part.name}, through the planking"
        fastening = fastening_for(planking, part.thickness, rules)
    for mark in part.marks:
        if mark.kind is not MarkKind.FASTENED:
            continue
        yield Seam(
            part=part.title,
            along=mark.name,
            into=into,
            length=float(run_along(mark.points)[-1]),
            edge=0.0,
            spacing=rules.sheer_spacing,
            places=spaced(mark.points, rules.sheer_spacing),
            fastening=fastening,
        )


def pairs_together(all_seams: Sequence[Seam]) -> Iterator[tuple[Seam, int]]:
    """Each seam once: what port and starboard have alike is counted for both."""
    left = list(all_seams)
    while left:
        first = left.pop(0)
        other = next((one for one in left if _twins(first, one)), None)
        if other is not None:
            left.remove(other)
        yield first, first.count + (other.count if other is not None else 0)


def _twins(one: Seam, other: Seam) -> bool:
    names = [seam.part.replace(", port", "").replace(", starboard", "") for seam in (one, other)]
    same = names[0] == names[1] and one.along == other.along and abs(one.length - other.length) < 1.0
    return same and one.fastening == other.fastening


def length_of(all_seams: Sequence[Seam]) -> float:
    """mm of seams in all."""
    return fsum(one.length for one in all_seams)
