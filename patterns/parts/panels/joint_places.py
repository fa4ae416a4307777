"""Where long panels are joined: off frames and hard bends, in the flatter after part, port clear of starboard."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, lengths, run_along
from patterns.geometry.outlines import cornered
from patterns.geometry.ruled import Ruled
from patterns.parts.asked.joint_rules import OFF_FRAMES, JointKind, PanelJoints
from patterns.parts.panels.joints import overlap_of, reach_of
from patterns.parts.part import Part

STEP = 5.0  # mm between places looked at
SHORTEST = 300.0  # mm; a shorter piece is more joint than panel, common practice, no single source
FORWARD = 0.5  # what lying at the fore end counts against a place, next to 1 for the hardest bend of the panel


@dataclass(frozen=True, slots=True, eq=False)
class Bend:
    """How hard a panel is bent along its length."""

    x: Floats  # (n,) mm along the panel
    hardness: Floats  # (n,) 1/mm, curvature


def bend_of(ruled: Ruled, panel: Part) -> Bend:
    """The bend of a strake, by the turning of its normals, told along its flat panel.

    The way along the rulings' middles is stretched to the panel's length: it serves to choose a place, not to cut by.
    """
    clean = np.isfinite(ruled.middle).all(axis=1) & np.isfinite(ruled.normal).all(axis=1)
    middle, normal = ruled.middle[clean], ruled.normal[clean]
    along = run_along(middle)
    turned = 2 * np.arcsin(np.clip(lengths(np.diff(normal, axis=0)) / 2, 0.0, 1.0))
    step = np.maximum(np.diff(along), 1e-9)
    length = float(panel.outline[:, 0].max())
    share = (along[1:] + along[:-1]) / 2 / along[-1]
    return Bend(share * length, turned / step)


def frame_zones(panel: Part, wood: Mapping[str, float]) -> Floats:
    """(n, 2) mm, first and last x of each frame's wood on a panel; ``wood`` mm aft of its mark, by the mark's name."""
    zones = []
    for mark in panel.marks:
        if mark.name in wood:
            x = np.concatenate([mark.points[:, 0], mark.points[:, 0] + wood[mark.name]])
            zones.append((x.min(), x.max()))
    return np.array(zones).reshape(-1, 2)


def too_long(panel: Part, ask: PanelJoints) -> bool:
    return 0 < ask.sizes.longest < _length(panel)


def _length(panel: Part) -> float:
    first, last = _ends(panel)
    return last - first


def choose_places(
    panel: Part, ask: PanelJoints, kind: JointKind, *, bend: Bend, zones: Floats, apart_from: Sequence[float] = ()
) -> tuple[float, ...]:
    """Places (mm, x of each joint's middle, from forward) with the fewest pieces, and of those the best.

    Parameters
    ----------
    apart_from : sequence of mm
        Joints of the panel on the other side, from which these keep the stagger asked for.

    Raises
    ------
    ShapeError
        Where no places off the frames make pieces that the sheets hold.
    """
    overlap, reach = (of(kind, panel.thickness, ask.sizes) for of in (overlap_of, reach_of))
    low, high = _clear_of_ends(panel, reach)
    places = np.arange(low, high, STEP)
    cost = np.interp(places, bend.x, bend.hardness / max(float(bend.hardness.max()), 1e-12))
    cost = cost + FORWARD * (1 - places / _length(panel))
    off_frames = np.all(
        (places[:, None] + reach + OFF_FRAMES <= zones[:, 0]) | (places[:, None] - reach - OFF_FRAMES >= zones[:, 1]),
        axis=1,
    )
    staggered = np.all(np.abs(places[:, None] - np.array(apart_from)) >= ask.rule.stagger, axis=1)
    ends = _ends(panel)
    found = _fewest(places, np.where(off_frames & staggered, cost, np.inf), ends, ask.sizes.longest, overlap)
    if found is None:
        raise ShapeError(
            f"{panel.title}: {kind} joints in {{}}, of pieces up to {{}}, find no place off the frames"
            f"{' and clear of the other side’s' if ask.rule.stagger else ''}: "
            f"give {ask.table} joint_at, another joint, or a longer sheet",
            *(_length(panel), ask.sizes.longest),
        )
    return found


def check_places(panel: Part, ask: PanelJoints, kind: JointKind, places: Sequence[float]) -> None:
    """Places the builder gave must leave pieces that the sheets hold.

    Raises
    ------
    ShapeError
        Naming every piece that is too long or too short, and by how much.
    """
    overlap, reach = (of(kind, panel.thickness, ask.sizes) for of in (overlap_of, reach_of))
    low, high = _clear_of_ends(panel, reach)
    wrong: list[tuple[str, tuple[float, ...]]] = [
        ("a joint {} from the fore end, expected one from {} to {}", (at, low, high))
        for at in places
        if not low <= at <= high
    ]
    first, last = _ends(panel)
    cuts = np.array([first + overlap / 2, *places, last - overlap / 2])
    for number, long in enumerate((np.diff(cuts) + overlap).tolist(), start=1):
        if long > ask.sizes.longest > 0:
            words = f"piece {number} from forward is {{}} long, and no sheet holds more than {{}}"
            wrong.append((words, (long, ask.sizes.longest)))
    if wrong:
        raise ShapeError(
            "\n".join(f"{panel.title}: {ask.table} joint_at: {words}" for words, _ in wrong),
            *(length for _, lengths in wrong for length in lengths),
        )


def on_frames(places: Sequence[float], reach: float, zones: Floats) -> list[float]:
    """Those places whose joint lies on a frame."""
    return [at for at in places if ((at + reach > zones[:, 0]) & (at - reach < zones[:, 1])).any()]


def _ends(panel: Part) -> tuple[float, float]:
    """mm, first and last x of what is cut of a panel: both faces, and the tips where edges of two faces meet."""
    runs = [edge.points for edge in panel.edges], [edge.far for edge in panel.edges]
    x = np.concatenate([run[:, 0] for face in runs for run in face])
    tips = [tip for one, other in (runs, runs[::-1]) for tip in _tips(one, other)]
    return float(np.min([x.min(), *tips])), float(np.max([x.max(), *tips]))


def _tips(edges: Sequence[Floats], others: Sequence[Floats]) -> Iterator[float]:
    """x, mm, of the corners that edges of one face make with the next ones of the other.

    A square cutter follows of each edge the larger face: where two meet in a point and each is larger on another face,
    the point that it cuts lies farther out than that of either face.
    """
    for line, after in zip(edges, (*others[1:], *others[:1]), strict=True):
        with suppress(ShapeError):  # they meet nowhere near: the gap is cut straight, and makes nothing longer
            yield float(cornered(line, after)[1][0, 0])


def _clear_of_ends(panel: Part, reach: float) -> tuple[float, float]:
    """mm, first and last x where a joint crosses the two long edges alone, and leaves a piece worth the name."""
    first, last = _ends(panel)
    middle = (first + last) / 2
    low, high = first + SHORTEST, last - SHORTEST
    for edge in panel.edges:
        x = np.concatenate([edge.points[:, 0], edge.far[:, 0]])
        if x.max() < middle:
            low = max(low, float(x.max()) + reach)
        elif x.min() > middle:
            high = min(high, float(x.min()) - reach)
    return low + reach, high - reach


def _fewest(
    places: Floats, cost: Floats, ends: tuple[float, float], longest: float, overlap: float
) -> tuple[float, ...] | None:
    """The fewest places that leave no piece too long, and of those the least in cost: joint by joint from forward."""
    first, last = ends
    best = np.where(places + overlap / 2 - first <= longest, cost, np.inf)
    before: list[NDArray[np.intp]] = []
    for _ in range(max(1, len(places))):
        finishing = np.where(last - places + overlap / 2 <= longest, best, np.inf)
        if len(places) and np.isfinite(finishing.min()):
            chosen = [int(finishing.argmin())]
            for came in reversed(before):
                chosen.append(int(came[chosen[-1]]))
            return tuple(float(places[i]) for i in reversed(chosen))
        if not np.isfinite(best).any():
            return None
        # A piece between two joints holds half of each overlap at either end, and must be more than the two joints.
        run = places[None, :] - places[:, None]
        reachable = np.where((run + overlap <= longest) & (run >= SHORTEST), best[:, None], np.inf)
        before.append(reachable.argmin(axis=0))
        best = reachable.min(axis=0) + cost
    return None
