"""Breasthook and quarter knees: flat pieces at the sheer that tie the corners of the boat."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from patterns.errors import ShapeError, while_making
from patterns.geometry.arrays import Floats
from patterns.geometry.cuts import Plane, Profile
from patterns.geometry.outlines import trimmed
from patterns.hull.build import Stem, Transom
from patterns.hull.planking.level_cuts import edge_between, hollowed, plane_along, sheer_inside, side_in_plane
from patterns.hull.planking.skin import Hull
from patterns.parts.asked.fitting_rules import BreasthookRules, KneeRules, grain_words
from patterns.parts.edges import make_edge, mirrored, square_edge
from patterns.parts.fittings.thwarts import LEAST_ARM, TOE, mirrored_line
from patterns.parts.long.long_ends import stem_inner_face
from patterns.parts.part import OTHER_HAND, Edge, Hand, Mark, Part, along_edge
from patterns.parts.role import Role
from patterns.parts.stands import transom_inner_face
from patterns.units.lengths import write_length, write_small

SAG_TOLD = 0.8  # mm (1/32 in); less is planed off without thought
REACH = 300.0  # mm past the ends of the stem that its face is looked for
ON_TRANSOM = 65  # places along a knee's edge against a transom, which may be bowed
NARROWEST = 1.0  # mm; nearer the centre line the two hands' edges have met


def cut_breasthook(hull: Hull, rules: BreasthookRules, *, inwale: float, show: str, aft: bool = False) -> Part:
    """A breasthook, seen on its top: bow to the left, starboard up, centre line at y = 0.

    Its top lies along the sheer, level athwart; its sides fit the inside of the planking, or of the inwales.

    Parameters
    ----------
    inwale : float
        mm from the planking to the face it fits; 0 where there is no inwale.
    aft : bool
        Whether it is the after one, at a sternpost.

    Raises
    ------
    ShapeError
        Without a stem (or a sternpost), or where the sheer is not so long.
    """
    name = "after breasthook" if aft else "breasthook"
    with while_making(name):
        stem = hull.aft if aft else hull.fore
        if not isinstance(stem, Stem):
            raise ShapeError("needs a stem to fit against; a transom takes quarter knees")
        if rules.hollow >= rules.length:
            raise ShapeError("its hollow of {} leaves nothing of its length of {}", rules.hollow, rules.length)
        inner = stem_inner_face(hull, stem, aft=aft)
        plane = _along_sheer(hull, *_ends_along_sheer(hull, inner, rules.length, aft=aft))
        under = plane.shifted(-rules.thickness)
        at_stem, far_at_stem = (_stem_in(inner, one) for one in (plane, under))
        inboard = at_stem - rules.length if aft else at_stem + rules.length
        near = _one_side(hull, plane, inwale, at_stem, inboard)
        if rules.hollow > near[-1, 1]:
            raise ShapeError("its hollow of {} is deeper than half its breadth of {}", rules.hollow, 2 * near[-1, 1])
        past = rules.hollow + rules.thickness
        far = _one_side(hull, under, inwale, far_at_stem, inboard - past if aft else inboard + past)
        edges = tuple(_hook_edges(rules, near, far, aft=aft))
    centre = sorted((float(near[0, 0]), inboard))
    return Part(
        name=name,
        role=Role.BREASTHOOK,
        material_key="[breasthook] material",
        hand="none",
        thickness=rules.thickness,
        material=rules.material,
        marked_face="top",
        edges=edges,
        marks=(Mark("center line", np.array([[centre[0] - 20.0, 0.0], [centre[1] + 20.0, 0.0]])),),
        bow="left",
        grain=grain_words("athwart", "a grown crook", plywood=rules.plywood),
        grain_angle=float(np.pi / 2),
        line="inside of the inwales" if inwale else "inside of planking",
        crown=rules.crown,
        stands_in=(plane,),
        remarks=(*_words(rules, show), *_sag_words(hull, plane, sorted((at_stem, inboard)), show)),
    )


def _hook_edges(rules: BreasthookRules, near: Floats, far: Floats, *, aft: bool) -> Iterator[Edge]:
    """Counter-clockwise: each side runs from the stem inboard, or back to it."""
    hollow = _Hollow(near[-1], rules.hollow, toward_stem=1.0 if aft else -1.0)
    far = hollow.ended(far)
    beside: dict[Hand, tuple[Floats, Floats]] = {
        "starboard": (near, far),
        "port": (mirrored_line(near), mirrored_line(far)),
    }
    inward: Hand = "starboard" if aft else "port"
    outward = OTHER_HAND[inward]
    (start, far_start), (end, far_end) = beside[inward], beside[outward]
    t = rules.thickness
    across, far_across = (hollow.between(*ends) for ends in ((start[-1], end[-1]), (far_start[-1], far_end[-1])))
    yield replace(make_edge(f"side {inward}", start, far_start, thickness=t), hand=inward)
    yield square_edge("fore edge" if aft else "after edge", across, far_across)
    yield replace(make_edge(f"side {outward}", end[::-1], far_end[::-1], thickness=t), hand=outward)
    shut, far_shut = np.stack([end[0], start[0]]), np.stack([far_end[0], far_start[0]])
    yield make_edge("after end" if aft else "fore end", shut, far_shut, thickness=t)


class _Hollow:
    """The square edge across a breasthook: one arc for both faces, as wide as the marked face."""

    def __init__(self, corner: Floats, depth: float, *, toward_stem: float) -> None:
        self.x, self.toward_stem, self.depth = float(corner[0]), toward_stem, depth
        # R = c^2/(8 s) + s/2: trade_geometry.toml, [sagitta].
        self.radius = (2 * float(corner[1])) ** 2 / (8 * depth) + depth / 2 if depth else np.inf

    def _at(self, y: Floats) -> Floats:
        """Distance along the piece (n,) mm of the arc at half breadths."""
        if not self.depth:
            return np.full_like(y, self.x)
        # Past the circle nothing is cut: `between` refuses a face that is broader.
        up = np.sqrt(np.maximum(self.radius**2 - y**2, 0.0))
        return np.asarray(self.x + self.toward_stem * (up - (self.radius - self.depth)))

    def past(self, points: Floats) -> Floats:
        """How far points lie beyond the arc, away from the stem, mm."""
        return np.asarray(self.toward_stem * (self._at(points[:, 1]) - points[:, 0]))

    def ended(self, line: Floats) -> Floats:
        """A side (n, 2) from the stem as far as the arc."""
        short = trimmed(line, self.past)
        corner = np.array([[float(self._at(short[-1:, 1])[0]), short[-1, 1]]])
        return np.concatenate([short[:-1], corner])

    def between(self, start: Floats, end: Floats) -> Floats:
        """(n, 2) mm, the arc from one corner to the other."""
        broad = 2 * max(abs(float(start[1])), abs(float(end[1])))
        if broad > 2 * self.radius:
            raise ShapeError(
                "its hollow of {} is an arc {} broad, but its under face is {} broad there; expected less hollow",
                self.depth, 2 * self.radius, broad,
            )  # fmt: skip
        y = np.linspace(start[1], end[1], 129)
        return np.stack([self._at(y), y], axis=1)


def _words(rules: BreasthookRules, show: str) -> Iterator[str]:
    yield "Its top lies along the sheer and level athwart. Cut it when the corner has been measured in the boat."
    if rules.crown:
        stock = write_length(rules.thickness + rules.crown, show)
        yield (
            f"Its top is crowned {write_length(rules.crown, show)} above this face on the center line: "
            f"get it out {stock} thick and round the top down to this line at both sides."
        )


def _sag_words(hull: Hull, plane: Plane, ends: list[float], show: str) -> Iterator[str]:
    """How far the curved sheer leaves a flat top between its ends."""
    sheer = sheer_inside(hull)
    along = plane.flat(sheer)[:, 0]
    off = (sheer - plane.origin) @ plane.facing
    between = off[np.isfinite(along) & (along > ends[0]) & (along < ends[1])]
    if not len(between) or (most := float(between[np.abs(between).argmax()])) ** 2 < SAG_TOLD**2:
        return
    way = "below" if most < 0 else "above"
    sag = write_small(abs(most), show)
    yield f"The sheer curves up to {sag} {way} its flat top between the ends: fair the two in place."


def _ends_along_sheer(hull: Hull, inner: Profile, length: float, *, aft: bool) -> tuple[float, float]:
    """Distances from FP of a breasthook's two ends: on a stem's inner face at the sheer, and its length from there."""
    sheer = sheer_inside(hull)
    x = float(sheer[int((inner.signed(sheer) > 0).argmax()), 0])
    return (x - length, x) if aft else (x, x + length)


def _along_sheer(hull: Hull, fore: float, aft: float) -> Plane:
    """The plane level athwart through the inside of the sheer at two distances from FP."""
    sheer = sheer_inside(hull)
    clean = np.isfinite(sheer).all(axis=1)
    x = sheer[clean, 0]
    ends = [np.array([at, 0.0, np.interp(at, x, sheer[clean, 2])]) for at in (fore, aft)]
    return plane_along(*ends)


def _stem_in(inner: Profile, plane: Plane) -> float:
    """mm along a plane level athwart, where a stem's inner face, straight athwart, crosses it."""
    along = np.linspace(inner.points[:, 0].min() - REACH, inner.points[:, 0].max() + REACH, 2001)
    past = inner.signed(plane.origin + along[:, None] * plane.right)
    return float(np.interp(0.0, past, along))


def _one_side(hull: Hull, plane: Plane, inwale: float, at_stem: float, inboard: float) -> Floats:
    """(n, 2) mm, the starboard side of one face, from the stem's inner face inboard."""
    line = side_in_plane(hull, plane, inwale)
    apart = line[line[:, 1] > NARROWEST, 0]
    low, high = sorted((at_stem, inboard))
    if not len(apart) or apart[0] > high or apart[-1] < low:
        raise ShapeError("the two sides leave no room for it")
    found = edge_between(hull, plane, inwale, max(low, float(apart[0])), min(high, float(apart[-1])))
    return found if at_stem < inboard else found[::-1]


def quarter_knees(hull: Hull, rules: KneeRules, *, inwale: float, aft: bool) -> tuple[Part, Part]:
    """The pair of knees in the corners of side and transom, port and starboard, seen on their tops.

    The top lies along the sheer, level athwart; one arm fits the side (or the inwale), the other the transom's inner
    face.

    Raises
    ------
    ShapeError
        Where the arms are longer than the boat has room for.
    """
    end = hull.aft if aft else hull.fore
    assert isinstance(end, Transom)
    name = "quarter knee" if aft else "bow quarter knee"
    face = transom_inner_face(end, aft=aft)
    with while_making(name):
        plane = _sheer_plane_at(hull, face, rules.on_side, aft=aft)
        under = plane.shifted(-rules.thickness)
        corner, far_corner = (_corner(hull, face, one, inwale) for one in (plane, under))
        toe = corner - rules.on_side if aft else corner + rules.on_side
        near, far = _arm(hull, plane, inwale, toe, corner), _arm(hull, under, inwale, toe, far_corner)
        if near[-1, 1] <= rules.on_other:
            raise ShapeError("its arm along the transom is longer than half the transom, {}", float(near[-1, 1]))
        inmost = float(near[-1, 1]) - rules.on_other
        if min(rules.on_side, rules.on_other) < LEAST_ARM:
            raise ShapeError("its arms are {} and {}; expected at least {}", rules.on_side, rules.on_other, LEAST_ARM)
        on_transom = tuple(_along_transom(face, one, arm, inmost) for one, arm in ((plane, near), (under, far)))
        edges = tuple(_knee_edges(rules, near, far, on_transom, aft=aft))
    starboard = Part(
        name=name,
        role=Role.KNEE,
        material_key="[quarter_knee] material",
        hand="starboard",
        thickness=rules.thickness,
        material=rules.material,
        marked_face="top",
        edges=edges,
        bow="left",
        grain=grain_words("along the long edge", "a grown knee", plywood=rules.plywood),
        grain_angle=along_edge(edges, "long edge"),
        stands_in=(plane,),
        line="inside of the inwale and of the transom" if inwale else "inside of planking and transom",
        remarks=("Its top lies along the sheer and level athwart. Cut it when the corner has been measured.",),
    )
    return mirrored(starboard), starboard


def _sheer_plane_at(hull: Hull, face: Plane, length: float, *, aft: bool) -> Plane:
    sheer = sheer_inside(hull)
    past = face.signed(sheer) > 0
    x = float(sheer[int(past.argmax()), 0])
    return _along_sheer(hull, x - length, x) if aft else _along_sheer(hull, x, x + length)


def _transom_in(face: Plane, plane: Plane, half: Floats) -> Floats:
    """mm (...) along a plane level athwart, where a transom's face crosses it at half breadths (...)."""
    ahead = (face.origin - plane.origin) @ face.facing - face.fallen_back(half)
    return np.asarray(ahead / (plane.right @ face.facing))


def _corner(hull: Hull, face: Plane, plane: Plane, inwale: float) -> float:
    """mm along a plane level athwart, where the side meets a transom's face."""
    x, half = side_in_plane(hull, plane, inwale).T
    past = x - _transom_in(face, plane, half)
    i = int(np.abs(past).argmin())
    near = slice(max(i - 2, 0), i + 3)
    if not past[near][0] < 0 < past[near][-1]:
        raise ShapeError("the side does not reach the transom at its height")
    return float(np.interp(0.0, past[near], x[near]))


def _along_transom(face: Plane, plane: Plane, arm: Floats, inmost: float) -> Floats:
    """(n, 2) mm, from the corner inboard along a transom's face to a half breadth; the toe is square, so alike on both
    faces."""
    half = np.linspace(float(arm[-1, 1]), inmost, ON_TRANSOM)
    return np.stack([_transom_in(face, plane, half), half], axis=1)


def _arm(hull: Hull, plane: Plane, inwale: float, toe: float, corner: float) -> Floats:
    """(n, 2) mm, the side's arm on one face of a knee, toward the transom."""
    line = edge_between(hull, plane, inwale, min(toe, corner), max(toe, corner))
    return line if toe < corner else line[::-1]


def _knee_edges(
    rules: KneeRules, near: Floats, far: Floats, on_transom: tuple[Floats, ...], *, aft: bool
) -> Iterator[Edge]:
    """Counter-clockwise from the corner: along the transom inboard, the long edge, back along the side."""
    pairs = zip((near, far), on_transom, strict=True)
    beside, far_beside = (np.concatenate([line[-1:], inboard[1:]]) for line, inboard in pairs)
    inward = -1.0 if aft else 1.0
    # A toe is so thick on whichever face its edge lies further in, or a steep bevel would run out through it.
    toe = np.array([inward * (max(inward * beside[-1, 0], inward * far_beside[-1, 0]) + TOE), beside[-1, 1]])
    side_toe = np.array([near[0, 0], min(near[0, 1], far[0, 1]) - TOE])
    runs: list[tuple[str, Floats, Floats | None]] = [
        ("side", near[::-1], far[::-1]),
        ("toe on side", np.stack([near[0], side_toe]), np.stack([far[0], side_toe])),
        ("long edge", hollowed(side_toe, toe, rules.hollow if aft else -rules.hollow), None),
        ("toe on transom", np.stack([toe, beside[-1]]), np.stack([toe, far_beside[-1]])),
        ("transom", beside[::-1], far_beside[::-1]),
    ]
    if not aft:
        runs = [(name, line[::-1], None if other is None else other[::-1]) for name, line, other in runs[::-1]]
    for name, line, other in runs:
        if name in ("side", "transom"):
            assert other is not None
            yield make_edge(name, line, other, thickness=rules.thickness)
        else:
            yield square_edge(name, line, other)
