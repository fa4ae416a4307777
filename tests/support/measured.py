"""What the laws of parts measure: distances between outlines and to the planking, by plain geometry."""

from __future__ import annotations

import numpy as np
import shapely
from boats import Floats, unit
from shapely import LinearRing, LineString, Polygon

from patterns.geometry.ruled import Ruled
from patterns.parts.part import Part
from patterns.parts.stands import FrameStand, stand_frame
from patterns.parts.whole import Job

DRAWN = 0.01  # mm; outlines leave out points that move a line less than 0.002 mm


def stands(job: Job) -> list[tuple[Part, FrameStand]]:
    frames = job.boat.frames
    assert frames is not None
    standing = [stand_frame(job.hull, frames, place) for place in frames.places]
    return [(job.part(f"frame {stand.place.name}"), stand) for stand in standing]


def length(points: Floats) -> float:
    return float(LineString(points).length)


def apart(a: Floats, b: Floats) -> float:
    """The furthest any point of one closed outline lies from the other."""
    return float(LinearRing(a).hausdorff_distance(LinearRing(b)))


def naive_distance(ruled: Ruled, points: Floats) -> Floats:
    """Distance (n,) from points to a skin: nearest of very many straight lines on it, no normals asked."""
    found = []
    for point in points:
        coarse = to_lines(point, ruled.middle, ruled.along)
        near = int(coarse.argmin())
        s = np.linspace(max(0, near - 2), min(len(ruled) - 1, near + 2), 801)
        found.append(to_lines(point, ruled.at(ruled.middle, s), unit(ruled.at(ruled.along, s))).min())
    return np.array(found)


def to_lines(point: Floats, starts: Floats, ways: Floats) -> Floats:
    away = point - starts
    return np.linalg.norm(away - (away * ways).sum(axis=1)[:, None] * ways, axis=1)


def dense(points: Floats, step: float = 25.0) -> Floats:
    line = LineString(points)
    at = np.linspace(0.0, line.length, max(5, int(line.length / step)))
    return np.asarray(shapely.get_coordinates(shapely.line_interpolate_point(line, at)))


def assert_sound(job: Job) -> None:
    """Every outline closed, counter-clockwise and clean on both faces."""
    for each in job.parts:
        for outline in (each.outline, each.far_outline):
            polygon = Polygon(outline)
            assert polygon.is_valid, (each.title, shapely.is_valid_reason(polygon))
            assert polygon.exterior.is_ccw, each.title
        for run, after in zip(each.edges, (*each.edges[1:], each.edges[0]), strict=True):
            assert np.linalg.norm(run.points[-1] - after.points[0]) < 1e-6
            assert np.linalg.norm(run.far[-1] - after.far[0]) < DRAWN
