"""What is marked on a frame or a mould: centre line, base line, the lines of the boat, the cross spall."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from shapely import LineString

from patterns.geometry.cuts import Plane
from patterns.hull.planking.smooth_skin import SmoothSkin
from patterns.parts.asked.rules import Building
from patterns.parts.frames.frame_outline import Outer
from patterns.parts.frames.level_marks import chine_marks, level_marks, plank_marks
from patterns.parts.part import Mark
from patterns.parts.role import MarkKind
from patterns.parts.shaping import Shape

MARK_LENGTH = 40.0  # mm, of the sheer and chine marks
BASE_MARK_PAST = 60.0  # mm the base line is drawn past the chines
PAST_KEEL = 12.0  # mm that the level of the rabbet is drawn past the keel's sides
KEEL_TICK = 25.0  # mm, of the marks on both sides of a round hull's keel


def frame_marks(
    outer: Outer, shape: Shape, building: Building | None, lines: Sequence[str], *, base: bool
) -> tuple[Mark, ...]:
    """Centre line, base line, where the lines of the boat come, and the cross spall."""
    head, corner, top = outer.head, outer.side[0], outer.side[-1]
    # Longer would cost sheets of paper that nothing else needs.
    reach = float(corner[0]) + BASE_MARK_PAST
    low = min(0.0, float(corner[1])) - BASE_MARK_PAST / 2
    marks = [
        Mark("center line", np.array([[0.0, low], [0.0, max(head, float(outer.top[1]))]])),
        *([Mark("base line", np.array([[-reach, 0.0], [reach, 0.0]]), MarkKind.BASE)] if base else []),
    ]
    inward = np.array([-MARK_LENGTH, 0.0])
    bisector = np.array([-0.6, 0.8]) * MARK_LENGTH
    for sign in (1.0, -1.0):
        to = np.array([sign, 1.0])
        marks.append(Mark(lines[0], np.stack([top, top + inward]) * to))
        # From the sheer down, as the lines of the boat are told.
        for line, place in zip(lines[1:], outer.corners[::-1], strict=False):
            tick = np.array([0.0, KEEL_TICK]) if outer.round else bisector  # a keel's sides stand close together
            marks.append(Mark(line, np.stack([place, place + tick]) * to))
    if outer.keeled:
        up = np.array([0.0, MARK_LENGTH])
        marks += [Mark(lines[-1], np.stack([keel, keel + up])) for keel in outer.keels]
    if building and building.spall is not None:
        marks += _spall(shape, building.spall)
    return tuple(marks)


def _spall(shape: Shape, height: float) -> Iterator[Mark]:
    """Where the lower edge of the cross spall lies, level, from outer edge to outer edge."""
    low, high = shape.ring.bounds[1], shape.ring.bounds[3]
    if not low < height < high:
        return
    reach = shape.ring.bounds[2] + 1.0
    across = np.asarray(shape.ring.convex_hull.intersection(LineString([(-reach, height), (reach, height)])).coords)
    yield Mark("cross spall, lower edge", across, MarkKind.SPALL)


def marks_of_skin(skin: SmoothSkin, face: Plane, outer: Outer, shape: Shape, *, mould: bool) -> Iterator[Mark]:
    """Waterlines, diagonals and hard turns of a round hull, and the level of its rabbet below the wood."""
    half, height = skin.rabbet_at(face)
    yield Mark(
        "rabbet", face.flat(np.array([[face.origin[0], y, height] for y in (-half - PAST_KEEL, half + PAST_KEEL)]))
    )
    yield from level_marks(skin, face, outer.half, shape)
    yield from chine_marks(skin, face, skin.depth_of(mould=mould))
    yield from plank_marks(skin, face, skin.depth_of(mould=mould))
