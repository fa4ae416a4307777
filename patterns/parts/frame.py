"""Frames: the inside of the planking in two planes, joined through the wood."""

from __future__ import annotations

import numpy as np

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats
from patterns.geometry.cuts import Plane
from patterns.geometry.outlines import met, parallel, trimmed
from patterns.hull.skin import Hull
from patterns.parts.cuts import FrameStand
from patterns.parts.edges import make_edge, square_edge
from patterns.parts.part import Edge, Mark, Note, Part
from patterns.parts.rules import FrameRules
from patterns.parts.sections import cut_inside, in_view, over

MARK_LENGTH = 40.0  # mm, of the sheer and chine marks
BASE_MARK_PAST = 60.0  # mm the base line is drawn past the chines


def cut_frame(hull: Hull, rules: FrameRules, stand: FrameStand) -> Part:
    """One frame, seen on the face that stands on its station.

    The outer edge lies on the inside of the planking on both faces; heads are cut level at the sheer, the inner edge
    is square.

    Raises
    ------
    ShapeError
        A frame where the boat is too narrow or too low for its timbers.
    """
    side, _, bottom = in_view(stand.face, cut_inside(hull, stand.face))
    head = float(side[-1, 1])
    far_side, far_bottom = _far_face(hull, stand.far, head)
    inner = _inner(stand, side, bottom, rules)
    right, left = ("starboard", "port") if stand.face.right[1] > 0 else ("port", "starboard")
    edges = (
        make_edge("bottom", bottom, far_bottom, thickness=rules.sided),
        make_edge(f"side {right}", side, far_side, thickness=rules.sided),
        _head(side[-1], inner[0], far_side[-1]),
        square_edge("inner", inner),
        _head(over(inner[0]), over(side[-1]), over(far_side[-1])),
        make_edge(f"side {left}", over(side[::-1]), over(far_side[::-1]), thickness=rules.sided),
    )
    return Part(
        name=f"frame {stand.place.name}",
        hand="none",
        thickness=rules.sided,
        material=rules.material,
        marked_face=stand.named_face,
        edges=edges,
        marks=_marks(hull, stand, side, head),
        bow="away from you" if stand.named_face == "after face" else "toward you",
        line="inside of planking",
        remarks=_remarks(stand),
        notes=_hands(side, inner, right, left),
    )


def _far_face(hull: Hull, plane: Plane, head: float) -> tuple[Floats, Floats]:
    """Side (up to the level of the head) and bottom on the far face, in the same view."""
    side, above, bottom = in_view(plane, cut_inside(hull, plane))
    return trimmed(np.concatenate([side, above]), lambda points: points[:, 1] - head), bottom


def _inner(stand: FrameStand, side: Floats, bottom: Floats, rules: FrameRules) -> Floats:
    """The inner edge from the right-hand head down, across the floor and up to the other head."""
    head = float(side[-1, 1])
    half = len(bottom) // 2
    inboard = _lengthened(parallel(side, rules.side_moulded))
    floor = _lengthened(parallel(bottom[half:], rules.floor_moulded))
    floor = floor[floor[:, 0] >= 0]
    try:
        rising = trimmed(inboard, lambda points: points[:, 1] - head)
        down, across = met(rising[::-1], floor[::-1])
    except ShapeError as error:
        raise ShapeError(
            "its side timbers of {} and floor of {}, as moulded, fill the boat here and leave no inner edge; "
            "wanted smaller timbers, or no frame here",
            rules.side_moulded,
            rules.floor_moulded,
        ) from error
    middle = np.array([[0.0, float(across[-1, 1])]])
    right_half = np.concatenate([down, across[1:]])
    right_half = right_half[right_half[:, 0] > 1e-9]
    return np.concatenate([right_half, middle, over(right_half[::-1])])


def _lengthened(line: Floats) -> Floats:
    """A line run on straight at both ends by a fifth of its chord, to be trimmed by others."""
    far = (line[-1] - line[0]) / 5
    return np.concatenate([[line[0] - far], line, [line[-1] + far]])


def _head(start: Floats, end: Floats, far_corner: Floats) -> Edge:
    """A level head: the far face's is longer or shorter by the side's bevel, but no lower."""
    edge = square_edge("top", np.stack([start, end]))
    outer_first = abs(start[0]) > abs(end[0])
    far = np.stack([far_corner, end]) if outer_first else np.stack([start, far_corner])
    return Edge(edge.name, edge.points, far, edge.bevels)


def _marks(hull: Hull, stand: FrameStand, side: Floats, head: float) -> tuple[Mark, ...]:
    corner, top = side[0], side[-1]
    # Longer would cost sheets of paper that nothing else needs.
    reach = float(corner[0]) + BASE_MARK_PAST
    low = min(0.0, float(corner[1])) - BASE_MARK_PAST / 2
    marks = [
        Mark("centre line", np.array([[0.0, low], [0.0, head]])),
        Mark("base line", np.array([[-reach, 0.0], [reach, 0.0]])),
    ]
    inward = np.array([-MARK_LENGTH, 0.0])
    bisector = np.array([-0.6, 0.8]) * MARK_LENGTH
    for sign in (1.0, -1.0):
        to = np.array([sign, 1.0])
        marks.append(Mark("sheer", np.stack([top, top + inward]) * to))
        marks.append(Mark("chine", np.stack([corner, corner + bisector]) * to))
    return tuple(marks)


def _remarks(stand: FrameStand) -> tuple[str, ...]:
    wood = "forward of" if stand.wood < 0 else "aft of"
    return (f"This {stand.named_face} stands on the station line; the wood lies {wood} it.",)


def _hands(side: Floats, inner: Floats, right: str, left: str) -> tuple[Note, ...]:
    """PORT and STARBOARD on the side timbers, half way up."""
    middle = side[len(side) // 2]
    inboard = inner[np.abs(inner[:, 1] - middle[1]).argmin()]
    at = (middle + np.abs(inboard) * (1.0, 1.0)) / 2
    return (
        Note(right.upper(), (float(at[0]), float(middle[1]))),
        Note(left.upper(), (-float(at[0]), float(middle[1]))),
    )
