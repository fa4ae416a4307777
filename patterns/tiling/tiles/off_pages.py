"""What of a drawing needs paper, and names of lines that run on past it brought back to where those lines are seen."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from patterns.drawing.marks import Cross, Drawing, Label, Stroke
from patterns.geometry.arrays import Floats, lengths
from patterns.tiling.seams.clip import Box, segments

PAST = 2.0  # mm; a mark is followed so far past the wood
OWN = 1.0  # mm; a label's home nearer to a line than this is on it


def needed(drawing: Drawing) -> list[Stroke]:
    """What is cut, pricked or measured: every line but what runs on past the wood. A cross counts by its own place."""
    strokes = [mark for mark in drawing.body if isinstance(mark, Stroke)]
    crosses = [mark for mark in drawing.body if isinstance(mark, Cross)]
    if drawing.wood is None:
        return [*strokes, *map(_small, crosses)]
    wood = shapely.Polygon(drawing.wood).buffer(PAST)
    shapely.prepare(wood)
    kept = [stroke for stroke in strokes if stroke.layer != "mark"]
    kept += [part for stroke in strokes if stroke.layer == "mark" for part in _on(wood, stroke)]
    return kept + [_small(cross) for cross in crosses if shapely.contains_xy(wood, *cross.at)]


def _small(cross: Cross) -> Stroke:
    x, y = cross.at
    return Stroke(np.array([[x - 0.5, y], [x + 0.5, y]]), cross.layer)


def _on(wood: shapely.Geometry, stroke: Stroke) -> Iterator[Stroke]:
    points = np.concatenate([stroke.points, stroke.points[:1]]) if stroke.closed else stroke.points
    if len(points) < 2:
        return
    for line in shapely.get_parts(shapely.intersection(shapely.LineString(points), wood)):
        if isinstance(line, shapely.LineString) and line.length > 0.0:
            yield Stroke(shapely.get_coordinates(line), stroke.layer)


@dataclass(frozen=True, slots=True, eq=False)
class Unseen:
    """A named line that no page shows any of."""

    name: str
    line: shapely.LineString  # mm


def brought_back(
    labels: Sequence[Label], strokes: Sequence[Stroke], windows: Sequence[Box]
) -> tuple[tuple[Label, ...], tuple[Unseen, ...]]:
    """Labels, each whose home no page shows carried along its line to where one does; and lines that none shows."""
    boxes = np.array(windows)
    homes = np.array([label.home or label.at for label in labels]).reshape(-1, 1, 2)
    shown = np.any(np.all((homes >= boxes[:, :2]) & (homes <= boxes[:, 2:]), axis=2), axis=1)
    lines: list[shapely.LineString] = []
    found: list[Label] = []
    unseen: dict[str, Unseen] = {}
    for label, here in zip(labels, shown.tolist(), strict=True):
        if here or label.home is None:
            found.append(label)
            continue
        lines = lines or [_line(stroke) for stroke in strokes]
        number = _own_line(label, lines)
        if number is None:
            continue
        to = _nearest_shown(label.home, strokes[number], windows)
        if to is None:
            unseen[label.text] = Unseen(label.text, lines[number])
        else:
            found.append(_carried(label, label.home, to))
    return tuple(found), tuple(one for name, one in unseen.items() if all(label.text != name for label in found))


def _line(stroke: Stroke) -> shapely.LineString:
    points = np.concatenate([stroke.points, stroke.points[:1]]) if stroke.closed else stroke.points
    return shapely.LineString(points if len(points) > 1 else np.repeat(points, 2, axis=0))


def _own_line(label: Label, lines: Sequence[shapely.LineString]) -> int | None:
    """The number of the line that a label speaks of: of lines that meet at its home the one its words run along."""
    home = shapely.Point(label.home or label.at)
    own: list[int] = np.flatnonzero(shapely.distance(home, np.array(lines)) < OWN).tolist() if lines else []
    return min(own, key=lambda each: _turned_off(lines[each], home, label.angle), default=None)


def _nearest_shown(home: tuple[float, float], stroke: Stroke, windows: Sequence[Box]) -> Floats | None:
    """The place nearest to a home where its line is seen, (2,) mm; None where it is not."""
    shown = segments([stroke]).within_each(windows, [(0.0, 0.0)] * len(windows))
    points = [piece.points for pieces in shown for piece in pieces]
    if not points:
        return None
    seen = np.concatenate(points)
    nearest: Floats = seen[lengths(seen - np.array(home)).argmin()]
    return nearest


def _turned_off(line: shapely.LineString, place: shapely.Point, angle: float) -> float:
    """How far a line at a place is turned off words at an angle, as a sine."""
    along = shapely.line_locate_point(line, place)
    one, other = (line.interpolate(at) for at in (max(along - OWN, 0.0), along + OWN))
    dx, dy = other.x - one.x, other.y - one.y
    return abs(dy * math.cos(angle) - dx * math.sin(angle)) / max(math.hypot(dx, dy), 1e-9)


def _carried(label: Label, home: tuple[float, float], to: Floats) -> Label:
    dx, dy = (to - home).tolist()
    at = label.at[0] + dx, label.at[1] + dy
    return replace(label, at=at, home=(float(to[0]), float(to[1])), leader=None)
