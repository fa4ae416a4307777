"""A second opinion on one V hull by a general CAD kernel: section and faces held against surfaces it builds itself.

    pip install cadquery-ocp          (in an environment of its own; nothing else asks for it)
    python tests/bench/bench_kernel.py

The kernel rules a surface between the ends of the program's own rulings, offsets it inward by the thickness, and
measures how far the program's sections and inside corners lie from that. Which rulings are right it cannot say:
test_known_chines holds them to the cones.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeVertex
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.collections import Array1_double, Array1_gp_Pnt
from OCP.Geom import Geom_BSplineSurface, Geom_OffsetSurface
from OCP.GeomAbs import GeomAbs_Shape
from OCP.GeomAPI import GeomAPI_PointsToBSpline
from OCP.GeomFill import GeomFill
from OCP.gp import gp_Pnt
from OCP.TopoDS import TopoDS_Face

sys.path.insert(0, str(Path(__file__).parent.parent / "support"))

from boats import Floats
from known_chines import KNOWN, KnownHull

from patterns.geometry.cuts import station_plane
from patterns.hull.planking.sections import cut_inside
from patterns.hull.planking.strakes import Strake

EVERY = 8  # rulings between the points of the kernel's curves
FITTED = 1e-4  # mm, how near its curves keep to them


def curve(points: Floats) -> object:
    """Through points at even parameters, so that the ends of one ruling have the same in both curves."""
    array, shares = Array1_gp_Pnt(1, len(points)), Array1_double(1, len(points))
    for number, (x, y, z) in enumerate(points.tolist(), 1):
        array.SetValue(number, gp_Pnt(x, y, z))
        shares.SetValue(number, (number - 1) / (len(points) - 1))
    return GeomAPI_PointsToBSpline(array, shares, 3, 8, GeomAbs_Shape.GeomAbs_C2, FITTED).Curve()


def offset_face(strake: Strake, depth: float) -> TopoDS_Face:
    """The kernel's face at a depth of the surface it rules between the ends of a strake's rulings."""
    ruled = strake.ruled
    own = np.flatnonzero(ruled.reach > 5.0)[::EVERY]
    upper, lower = (curve(ruled.points(sign * ruled.reach, 0.0)[own]) for sign in (-1.0, 1.0))
    surface: Geom_BSplineSurface = GeomFill.Surface_s(upper, lower)
    middle = ruled.numbers[own[len(own) // 2]].astype(int)
    out, probe = ruled.normal[middle], ruled.middle[middle]
    best: TopoDS_Face | None = None
    for sign in (1.0, -1.0):  # whichever way the kernel's normal points
        face = BRepBuilderAPI_MakeFace(Geom_OffsetSurface(surface, sign * depth), 1e-6).Face()
        if best is None or apart(face, probe + depth * out) < apart(best, probe + depth * out):
            best = face
    assert best is not None
    return best


def apart(face: TopoDS_Face, point: Floats) -> float:
    vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*point.tolist())).Vertex()
    return float(BRepExtrema_DistShapeShape(vertex, face).Value())


def held(known: KnownHull) -> None:
    hull = known.hull
    faces = [offset_face(strake, strake.inside) for strake in hull.strakes]
    first, last = max(line.first for line in known.lines), min(line.last for line in known.lines)
    for x in np.linspace(first, last, 7)[1:-1]:
        section = cut_inside(hull, station_plane(float(x), facing_aft=True))
        runs = [*section.runs[::-1], section.floor[len(section.floor) // 2 :][::-1]]
        off = [
            max(apart(face, point) for point in run[:: len(run) // 8]) for face, run in zip(faces, runs, strict=True)
        ]
        corners = [
            max(apart(faces[number], runs[number][0]), apart(faces[number + 1], runs[number][0]))
            for number in range(len(hull.corners))
        ]
        told = ", ".join(f"{strake.name} {mm:.4f}" for strake, mm in zip(hull.strakes, off, strict=True))
        print(f"  {x:7.0f} from FP: insides off the kernel's faces: {told}; corners {max(corners):.4f} mm")


if __name__ == "__main__":
    for name in ("forefoot", "pram"):
        print(name)
        held(KNOWN[name]())
