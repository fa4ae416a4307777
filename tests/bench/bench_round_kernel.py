"""A second opinion on two moulds of a round hull by a general CAD kernel: its own offset of the faired surface.

    pip install cadquery-ocp          (in an environment of its own; nothing else asks for it)
    python tests/bench/bench_round_kernel.py

The kernel lays a spline surface through a grid of points of the program's surface, offsets it by the thickness, and
measures how far the program's sections, cut of a face it finds in its own way, lie from that.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeVertex
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.collections import Array2_gp_Pnt
from OCP.Geom import Geom_OffsetSurface
from OCP.GeomAbs import GeomAbs_Shape
from OCP.GeomAPI import GeomAPI_PointsToBSplineSurface
from OCP.gp import gp_Pnt
from OCP.TopoDS import TopoDS_Face

sys.path.insert(0, str(Path(__file__).parent.parent / "support"))

from round_cases import CASES

from patterns.geometry.arrays import Floats
from patterns.geometry.cuts import station_plane
from patterns.hull.planking.smooth_skin import SmoothSkin
from patterns.hull.round.planked import plank_round
from patterns.parts.faired import fair_hull
from patterns.reading.boat.boat_toml import read_boat

ROWS, COLUMNS = 61, 121
FITTED = 1e-4  # mm, how near the kernel's surface keeps to the points
EVERY = 12
WITHYWATER = CASES.parents[1] / "samples" / "withywater"
STATIONS = {"hollow_mm": (700.0, 2950.0), "withywater": (1000.0, 3000.0)}


def offset_face(skin: SmoothSkin, depth: float, probe: Floats) -> TopoDS_Face:
    """The kernel's face so deep inside the surface; a probe (3,) tells which way its normal points."""
    grid = skin.grid(0.0, ROWS, COLUMNS)
    points = Array2_gp_Pnt(1, ROWS, 1, COLUMNS)
    for row in range(ROWS):
        for column in range(COLUMNS):
            points.SetValue(row + 1, column + 1, gp_Pnt(*grid[row, column].tolist()))
    surface = GeomAPI_PointsToBSplineSurface(points, 3, 8, GeomAbs_Shape.GeomAbs_C2, FITTED).Surface()
    faces = [BRepBuilderAPI_MakeFace(Geom_OffsetSurface(surface, way * depth), 1e-6).Face() for way in (1.0, -1.0)]
    return min(faces, key=lambda face: apart(face, probe))


def apart(face: TopoDS_Face, point: Floats) -> float:
    vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*point.tolist())).Vertex()
    return float(BRepExtrema_DistShapeShape(vertex, face).Value())


def held(name: str) -> None:
    boat = read_boat(WITHYWATER if name == "withywater" else CASES / name).boat
    hull = plank_round(fair_hull(boat), skin=boat.skin, fore=boat.fore, aft=boat.aft)
    assert hull.smooth is not None
    for x in STATIONS[name]:
        cut = hull.smooth.section(station_plane(x, facing_aft=True), hull.smooth.moulds).cut
        face = offset_face(hull.smooth, hull.smooth.moulds, cut.points[len(cut.points) // 2])
        off = [apart(face, point) for point in cut.points[2::EVERY]]
        print(f"{name}, {x:.0f} from FP: {len(off)} points off the kernel's face by {np.max(off):.4f} mm at most")


if __name__ == "__main__":
    for name in STATIONS:
        held(name)
