"""Glue, sealer, fillets, tape, cloth and paint: areas and lengths first, then how much, with waste as a range."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import fsum, pi

import numpy as np
import shapely

from patterns.hull.build import Joint
from patterns.parts.asked.rules import Boat
from patterns.parts.part import Part
from patterns.parts.role import EdgeKind, MarkKind, Role
from patterns.parts.whole import Job
from patterns.shop.fastening.rules import FinishRules
from patterns.units.weights import FOOT2, GALLON, OUNCE_A_YARD2

METRE2 = 1e6  # mm2
LITRE = 1e6  # mm3
ON_PLANKING = (Role.LOG, Role.INWALE, Role.OUTWALE, Role.RUB_RAIL, Role.STRINGER, Role.RISER, Role.KEEL_BATTEN)
CLOTH_A_GALLON, FILL_A_GALLON = 0.00085, 0.0075
"""US gallons a square foot for each ounce a square yard of cloth, and to fill its weave; 15 % waste in both. Source:
epoxy makers' guides."""
IN_IT = 0.15  # of waste, in the two above


@dataclass(frozen=True, slots=True)
class Joined:
    """A glued joint, of all hands together: two faces that meet."""

    name: str
    area: float  # mm2
    length: float | None = None  # mm, of one that runs along a length
    width: float | None = None  # mm


def _along(name: str, length: float, width: float) -> Joined:
    return Joined(name, length * width, length, width)


@dataclass(frozen=True, slots=True)
class Amount:
    """How much of one thing: net, and with the least and the most waste."""

    what: str
    over: str  # what it is reckoned on: "area", "length"
    size: float  # mm2 or mm of that
    net: tuple[float, float]  # kg of epoxy or glue, mm3 of paint, mm2 of cloth, mm of tape: least and most
    gross: tuple[float, float]
    unit: str  # "kg", "mm3", "mm2" or "mm"
    coats: int | None = None
    grade: float | None = None  # g/m2, of cloth


@dataclass(frozen=True, slots=True)
class Finishing:
    """All areas and amounts of a boat."""

    joints: tuple[Joined, ...]
    outside: float  # mm2 of planking
    inside: float  # mm2 of planking
    chines: float  # mm of chines without a log, both hands
    amounts: tuple[Amount, ...]


def finishing(job: Job, rules: FinishRules) -> Finishing:
    """Planking by its own patterns, both faces; joints by the faces that meet.

    Frames, rails, thwarts and other small parts are not in the areas; nor is the planking of a round hull, which has no
    panels. The book says so.
    """
    panels = [part for part in job.parts if part.role is Role.PANEL]
    # The marked face of a panel is its inside.
    inside = fsum(part.count * _area(part.outline) for part in panels)
    outside = fsum(part.count * _area(part.far_outline) for part in panels)
    joints = (*_joints(job), *_of_chines(job, panels))
    chines = fsum(_chines(job.boat, panels, lapped=False))
    return Finishing(joints, outside, inside, chines, tuple(_amounts(joints, outside, inside, chines, rules)))


def fillet_area(radius: float) -> float:
    """mm2, the section of a fillet in a square corner: a square less a quarter of a circle (closed form)."""
    return radius**2 * (1 - pi / 4)


def _area(ring: np.ndarray) -> float:
    return float(shapely.Polygon(ring).area)


def _joints(job: Job) -> Iterator[Joined]:
    for name in dict.fromkeys(piece.name for piece in job.long_pieces if piece.part.role in ON_PLANKING):
        hands = [piece for piece in job.long_pieces if piece.name == name]
        length = fsum(piece.places[-1].along for piece in hands)
        yield _along(f"{name} to planking", length, hands[0].width)
    # Moulds have a role of their own: nothing is glued to them.
    frames = [part for part in job.parts if part.role is Role.FRAME]
    if frames:
        planked = (EdgeKind.PLANKED, EdgeKind.FLOOR)
        length = fsum(_run(edge.points) for part in frames for edge in part.edges if edge.kind in planked)
        yield _along("frames to planking", length, frames[0].thickness)
    for part in job.parts:
        if part.role is Role.TRANSOM:
            length = fsum(_run(edge.points) for edge in part.edges if edge.kind in (EdgeKind.PLANKED, EdgeKind.FLOOR))
            yield _along(f"{part.title} to planking", length, part.thickness)
        if part.role is Role.STEM and part.landings:
            heights = [landing.height for landing in part.landings]
            width = float(np.mean([landing.depth / np.cos(landing.angle) for landing in part.landings]))
            yield _along(f"{part.title} to planking", 2 * (max(heights) - min(heights)), width)
    gussets = [part for part in job.to_cut if part.role is Role.GUSSET]
    if gussets:
        area = fsum(part.count * _area(part.outline) for part in gussets)
        yield Joined("gussets to timbers", area)


def _run(points: np.ndarray) -> float:
    return float(np.hypot(*np.diff(points, axis=0).T).sum())


def _of_chines(job: Job, panels: Sequence[Part]) -> Iterator[Joined]:
    """Laps, and a bottom on the edges of the sides and their logs."""
    skin, lines = job.boat.skin, job.boat.offsets.lines
    if skin.lap and (laps := fsum(_chines(job.boat, panels, lapped=True))):
        yield _along("laps", laps, skin.lap.width)
    marks = [mark for part in panels for mark in part.marks if mark.kind is MarkKind.LAPPED]
    log = job.boat.long.log_at(lines[len(skin.joints)]) if marks else None
    if log:
        length = fsum(_run(mark.points) for mark in marks)
        yield _along(f"bottom to {log.name}s and sides", length, log.sided + skin.planking[-2].thickness)


def _chines(boat: Boat, panels: Sequence[Part], *, lapped: bool) -> Iterator[float]:
    """mm of each edge that meets a neighbour in a lap; or without a log or a lap."""
    lines = boat.offsets.lines
    for part in panels:
        for edge in part.edges:
            name = edge.either_hand
            if edge.kind is not EdgeKind.CHINE or boat.long.log_at(name) or name not in lines:
                continue
            # Where both panels have the chine each counts half of it.
            if (boat.skin.joints[lines.index(name) - 1] is Joint.LAPPED) == lapped:
                yield _run(edge.points) * (0.5 if _two_have(panels, name) else 1.0)


def _two_have(panels: Sequence[Part], name: str) -> bool:
    strakes = {part.strake for part in panels for edge in part.edges if edge.either_hand == name}
    chines = [
        part.strake
        for part in panels
        for edge in part.edges
        if edge.either_hand == name and edge.kind is EdgeKind.CHINE
    ]
    return len(strakes) > 1 and len(set(chines)) > 1


def _amounts(
    joints: Sequence[Joined], outside: float, inside: float, chines: float, rules: FinishRules
) -> Iterator[Amount]:
    glued, both = fsum(joint.area for joint in joints), outside + inside
    yield _amount("glue", "area", glued, (_over(glued, rules.glue[1]), _over(glued, rules.glue[0])), "kg", rules)
    if not both:
        # A round hull has no panels to measure.
        return
    seal = rules.coats * _over(both, rules.sealer)
    yield _amount("sealer", "area", both, (seal, seal), "kg", rules, coats=rules.coats)
    density = rules.epoxy_weight / LITRE  # kg/mm3
    if rules.fillet and chines:
        mixed = chines * fillet_area(rules.fillet) * density
        yield _amount("epoxy in fillets", "length", chines, (mixed, mixed), "kg", rules)
    if rules.tape and chines:
        yield _amount("tape, inside and outside", "length", chines, (2 * chines, 2 * chines), "mm", rules)
        wet = _wetted(2 * chines * rules.tape, FILL_A_GALLON) * rules.epoxy_weight
        yield _amount("epoxy on tape", "length", chines, (wet, wet), "kg", rules)
    if rules.cloth:
        yield _amount("cloth", "area", outside, (outside, outside), "mm2", rules, grade=rules.cloth)
        ounces = rules.cloth / OUNCE_A_YARD2
        wet = _wetted(outside, ounces * CLOTH_A_GALLON + FILL_A_GALLON) * rules.epoxy_weight
        yield _amount("epoxy on cloth", "area", outside, (wet, wet), "kg", rules)
    paint = rules.paint_coats * _over(both, rules.paint) * LITRE
    yield _amount("paint", "area", both, (paint, paint), "mm3", rules, coats=rules.paint_coats)


def _over(area: float, covers: float) -> float:
    """Kg or litres over mm2, of what covers so many m2 each."""
    return area / METRE2 / covers


def _wetted(area: float, gallons: float) -> float:
    """Litres over mm2 by US gallons a square foot, the waste in the makers' rule taken out."""
    return area / METRE2 / FOOT2 * gallons * (1 - IN_IT) * GALLON


def _amount(
    what: str,
    over: str,
    size: float,
    net: tuple[float, float],
    unit: str,
    rules: FinishRules,
    *,
    coats: int | None = None,
    grade: float | None = None,
) -> Amount:
    least, most = (1 - percent / 100 for percent in rules.waste)
    return Amount(what, over, size, net, (net[0] / least, net[1] / most), unit, coats, grade)
