"""Index holes: bored alike through two parts that are joined, so that dowels hold both true while the glue sets."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
import shapely
import shapely.affinity
from shapely.geometry.base import BaseGeometry

from patterns.geometry.arrays import Floats, lengths, unit
from patterns.geometry.outlines import line_strings
from patterns.parts.hazards import EPOXY
from patterns.parts.part import Edge, Part
from patterns.parts.role import TIMBERS, EdgeKind, Role
from patterns.shop.router.router_rules import RouterRules
from patterns.units.lengths import write_length, write_size

LEAST_WOOD = 6.0  # mm, or the hole's own diameter if that is more, from its rim to any edge, common practice
SCREWED = 25.0  # mm (1 in) that a screw through the planking reaches into a timber's edge, common practice
APART = 4.0  # diameters between two holes; nearer, they would not hold two parts square to each other
STRAP = 100.0  # mm between the holes on both sides of a toothed joint, or a whole multiple of it
HELD_BY_SCREWS = frozenset((EdgeKind.PLANKED, EdgeKind.FLOOR, EdgeKind.CHINE, EdgeKind.LAPPING))
JOINED = frozenset((EdgeKind.SCARF, EdgeKind.TOOTHED, EdgeKind.BUTT, EdgeKind.TIMBERS))
SAME_HOLE = 0.01  # mm
FINE = 0.05  # mm that an outline may be coarser where room is sought
SHARP = 0.1  # rad


@dataclass(frozen=True, slots=True, eq=False)
class Pinned:
    """Two parts and the two holes that both have."""

    one: str  # title
    other: str
    in_one: Floats  # (2, 2) mm, in its own axes
    in_other: Floats  # (2, 2) mm, of the same dowels or, across a toothed joint, of their neighbors
    strap: float = 0.0  # mm between a hole and its neighbor across a toothed joint; 0 where one dowel fills both


@dataclass(frozen=True, slots=True)
class IndexHoles:
    """All index holes of a boat."""

    asked: bool = False
    pinned: tuple[Pinned, ...] = ()
    without: tuple[tuple[str, Role], ...] = ()  # a part's title and what it joins with no room for two holes
    places: Mapping[str, Floats] = field(default_factory=dict)  # (n, 2) mm by a part's title, in its own axes


NO_HOLES = IndexHoles()


def index_holes(parts: Sequence[Part], rules: RouterRules) -> IndexHoles:
    """Two holes wherever a gusset lies on a timber, a butt block on a panel, or two pieces of a panel join.

    Parts of one frame, and of one panel, have the same axes, so a dowel stands at one place of both patterns. A gusset
    is drawn for the right-hand side and turned over for the left.
    """
    if rules.index is None:
        return NO_HOLES
    groups: dict[str, list[Part]] = defaultdict(list)
    for part in parts:
        if part.of:
            groups[part.of].append(part)
    found = [one for group in groups.values() for one in _of_group(group, rules)]
    pinned = tuple(one for one in found if isinstance(one, Pinned))
    places: dict[str, Floats] = {}
    for one in pinned:
        for title, holes in ((one.one, one.in_one), (one.other, one.in_other)):
            places[title] = _without_repeats(np.concatenate([places.get(title, np.zeros((0, 2))), holes]))
    return IndexHoles(True, pinned, tuple(one for one in found if not isinstance(one, Pinned)), places)


def index_words(holes: IndexHoles, rules: RouterRules, show: str) -> tuple[str, ...]:
    """What the builder does with them, a sentence or two each; nothing where there are none."""
    if not holes.pinned or rules.index is None:
        return ()
    size = write_size(rules.index, show)
    told = [
        f"Index holes of {size} are in the router files: two where a gusset lies on a timber, a butt block on a panel, "
        "or two pieces are scarfed. Push dowels through both parts and glue. Trim the dowels when the glue is hard. "
        f"{EPOXY}",
    ]
    if straps := sorted({pin.strap for pin in holes.pinned if pin.strap}):
        apart = " or ".join(write_length(strap, show) for strap in straps)
        told.append(
            f"Across a toothed joint the holes stand {apart} apart. Drill two holes so far apart through a strap, and "
            "pin both pieces to it while the glue sets."
        )
    return tuple(told)


def _without_repeats(places: Floats) -> Floats:
    kept: list[Floats] = []
    for place in places:
        if not kept or lengths(np.array(kept) - place).min() > SAME_HOLE:
            kept.append(place)
    return np.array(kept)


_Found = Pinned | tuple[str, Role]


def _of_group(parts: Sequence[Part], rules: RouterRules) -> Iterator[_Found]:
    timbers = [part for part in parts if part.role in TIMBERS]
    for gusset in (part for part in parts if part.role is Role.GUSSET):
        yield from _of_gusset(gusset, timbers, rules)
    pieces = [part for part in parts if part.role is Role.PANEL_PIECE]
    for block in (part for part in parts if part.role is Role.BUTT_BLOCK):
        for piece in pieces:
            if _shared(block, piece).area:
                yield _lying(block, [(piece, False)], rules, over=False)[0]
    for one, other in pairwise(pieces):
        yield from _of_joint(one, other, rules)


def _of_gusset(gusset: Part, timbers: Sequence[Part], rules: RouterRules) -> Iterator[_Found]:
    """A gusset with every timber it lies on; timbers alike of both sides have the same holes, turned over."""
    # A keel gusset lies on both halves of a floor, so it has the holes of both.
    over = abs(shapely.Polygon(gusset.outline).centroid.x) < LEAST_WOOD
    for role in dict.fromkeys(timber.role for timber in timbers):
        lying = [
            (timber, turned)
            for timber in timbers
            for turned in (False, True)
            if timber.role is role and _shared(gusset, timber, turned=turned).area
        ]
        if over:
            lying = [(timber, turned) for timber, turned in lying if (_middle(timber) < 0) is turned]
        if lying:
            yield from _lying(gusset, lying, rules, over=over)


def _middle(part: Part) -> float:
    return float(shapely.Polygon(part.outline).centroid.x)


def _lying(part: Part, on: Sequence[tuple[Part, bool]], rules: RouterRules, *, over: bool) -> list[_Found]:
    """A part that lies on others: the same two holes for all of them.

    Parameters
    ----------
    on : sequence
        Each with whether the part is turned over, x to -x, to lie on it.
    over : bool
        Whether the part has the holes turned over too.
    """
    rooms = [_turned(_room(other, rules), turned) for other, turned in on]
    places = _two_places(shapely.intersection_all([_room(part, rules), *rooms]), rules)
    if places is None:
        return [(part.title, other.role) for other, _ in on]
    return [
        Pinned(
            part.title,
            other.title,
            in_one=places * (-1, 1) if over and turned else places,
            in_other=places * (-1, 1) if turned else places,
        )
        for other, turned in on
    ]


def _of_joint(one: Part, other: Part, rules: RouterRules) -> Iterator[_Found]:
    """Two pieces of a panel, the fore one first: through both in a scarf, on both sides of a toothed joint."""
    ends = [[edge for edge in part.edges if edge.kind in JOINED] for part in (one, other)]
    fore = max(ends[0], key=lambda edge: float(edge.points[:, 0].max()), default=None)
    after = min(ends[1], key=lambda edge: float(edge.points[:, 0].min()), default=None)
    if fore is None or after is None or fore.kind is EdgeKind.BUTT:
        return
    if fore.kind is EdgeKind.SCARF:
        yield _lying(one, [(other, False)], rules, over=False)[0]
    else:
        yield _across_teeth(one, other, (fore, after), rules)


def _across_teeth(one: Part, other: Part, ends: tuple[Edge, Edge], rules: RouterRules) -> _Found:
    """Two holes in each piece, each a strap's length from its neighbor in the other piece."""
    x = np.concatenate([edge.points[:, 0] for edge in ends])
    middle, depth = float(x.min() + x.max()) / 2, float(np.ptp(x))
    strap = STRAP * np.ceil((depth + 2 * _clear(rules)) / STRAP)
    both = [shapely.affinity.translate(_room(part, rules), by) for part, by in ((one, strap / 2), (other, -strap / 2))]
    across = shapely.LineString([(middle, -1e5), (middle, 1e5)])
    places = _two_places(shapely.intersection_all([*both, across]), rules)
    if places is None:
        return one.title, other.role
    half = np.array([strap / 2, 0.0])
    return Pinned(one.title, other.title, in_one=places - half, in_other=places + half, strap=float(strap))


def _two_places(room: BaseGeometry, rules: RouterRules) -> Floats | None:
    """The two places of a region that are farthest apart; None where it has no room for two."""
    corners = shapely.get_coordinates(room.convex_hull)  # each is a corner of the room itself
    if len(corners) < 2:
        return None
    apart = lengths(corners[:, None] - corners[None])
    first, last = np.unravel_index(int(apart.argmax()), apart.shape)
    if apart[first, last] < APART * _diameter(rules):
        return None
    # In the order of x, so that what is found does not hang on where an outline begins.
    two = corners[[first, last]]
    return np.asarray(two[np.lexsort(two.T[::-1])]).round(3)


def _shared(one: Part, other: Part, *, turned: bool = False) -> BaseGeometry:
    return _wood(one).intersection(_turned(_wood(other), turned))


def _turned(shape: BaseGeometry, turned: bool) -> BaseGeometry:
    return shapely.affinity.scale(shape, xfact=-1.0, origin=(0, 0)) if turned else shape


def _wood(part: Part) -> BaseGeometry:
    """What both faces have, without what is cut out of them."""
    faces = shapely.intersection_all([shapely.Polygon(face).buffer(0) for face in (part.outline, part.far_outline)])
    return faces.difference(shapely.union_all([shapely.Polygon(hole).buffer(0) for hole in part.holes]))


def _diameter(rules: RouterRules) -> float:
    return rules.index or 0.0


def _clear(rules: RouterRules) -> float:
    """mm from the middle of a hole to any edge, that of an eased notch too."""
    diameter = _diameter(rules)
    return diameter / 2 + max(LEAST_WOOD, diameter) + rules.clearance / 2


def _room(part: Part, rules: RouterRules) -> BaseGeometry:
    """Where the middle of a hole may be: off every edge and relief, and off screws that come in by the planking."""
    kept = [_screws(part.edges).buffer(SCREWED + _diameter(rules) / 2)]
    if rules.cutter:
        kept.append(_inside_corners(part).buffer(_clear(rules) + rules.cutter))
    return _wood(part).simplify(FINE).buffer(-_clear(rules)).difference(shapely.union_all(kept))


def _inside_corners(part: Part) -> BaseGeometry:
    """Corners that a cutter opens into the wood."""
    found = []
    for number, ring in enumerate((part.outline, part.far_outline, *part.holes)):
        way = unit(np.diff(np.concatenate([ring[-1:], ring, ring[:1]]), axis=0))
        turn = way[:-1, 0] * way[1:, 1] - way[:-1, 1] * way[1:, 0]
        found.append(ring[turn < -SHARP] if number < 2 else ring[np.abs(turn) > SHARP])
    return shapely.MultiPoint(np.concatenate(found))


def _screws(edges: Iterable[Edge]) -> BaseGeometry:
    held = [line for edge in edges if edge.kind in HELD_BY_SCREWS for line in (edge.points, edge.far)]
    return shapely.union_all(line_strings(held)).simplify(FINE) if held else shapely.Point()
