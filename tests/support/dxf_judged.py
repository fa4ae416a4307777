"""A router file judged by readers that did not write it: group codes read here, ezdxf with audit and recovery, GDAL.

GDAL makes chords of arcs, so its rings are held to 0.05 mm; group codes keep them, and are held to 0.001 mm.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import ezdxf
import ezdxf.recover
import numpy as np
import pyogrio.raw
import shapely
from dxf_read import Entity, polylines, tags

from patterns.geometry.arc_lines import ArcLine
from patterns.geometry.arrays import Floats
from patterns.shop.router.contours import Contours
from patterns.shop.router.router_rules import DxfForm, Release, RouterLayer

PLAIN = range(1, 8)  # index colors that have names


def faults_of_file(path: Path, part: Contours, form: DxfForm) -> Iterator[str]:
    """What is wrong with the file of one part, which should hold just what its contours hold."""
    yield from _by_group_codes(path.read_bytes(), part, form)
    yield from _by_ezdxf(path, form)
    yield from _by_gdal(path, part, form)


def _by_group_codes(data: bytes, part: Contours, form: DxfForm) -> Iterator[str]:
    found = list(read_entities(data))
    lines = [(layer, line) for layer, line in found if isinstance(line, ArcLine)]
    counts = Counter(layer for layer, _ in lines)
    wanted: Counter[str] = Counter({form.name("cut-outside"): 1})
    wanted[form.name("cut-inside")] += len(part.inner)
    for score in part.scored:
        wanted[form.name(score.layer)] += 1
    wanted[form.name("text-bevels")] += part.lettering.bevels
    wanted[form.name("text-names")] += len(part.lettering.counts) - part.lettering.bevels
    if +counts != +wanted:
        yield f"lines by layer {dict(counts)}, expected {dict(+wanted)}"
    circles = np.array([line for _, line in found if isinstance(line, tuple)]).reshape(-1, 3)
    holes = np.array([(*hole.at, hole.diameter / 2) for hole in part.drilled]).reshape(-1, 3)
    if len(circles) != len(holes) or (len(holes) and unmatched(circles, holes) > 1e-3):
        yield "circles are not the holes"
    outlines = [line for layer, line in lines if layer == form.name("cut-outside") and line.closed]
    # An own layer's name may hold scored lines as well; only what is cut is closed.
    if not outlines:
        yield "no closed outline"
        return
    outer = max(outlines, key=lambda line: line.area)
    if apart(outer, part.outer) > 1e-3:
        yield f"outline {apart(outer, part.outer):.4f} mm off"
    low, _ = outer.bounds
    if np.abs(low).max() > 2e-4:
        yield f"lowest place {low} is not 0, 0"
    edge = shapely.Polygon(outer.flat()).buffer(0.05)
    if not all(edge.contains(shapely.LineString(line.flat())) for _, line in lines if len(line.points) > 1):
        yield "a line lies beside the wood"


def unmatched(some: Floats, others: Floats) -> float:
    """The farthest that a row is from the nearest of as many other rows, both ways."""
    gaps = np.abs(some[:, None] - others[None]).max(axis=2)
    return float(max(gaps.min(axis=0).max(), gaps.min(axis=1).max()))


def apart(one: ArcLine, other: ArcLine) -> float:
    return float(shapely.LinearRing(one.flat()).hausdorff_distance(shapely.LinearRing(other.flat())))


def read_entities(data: bytes) -> Iterator[tuple[str, ArcLine | tuple[float, float, float]]]:
    """Layer and shape of all that is drawn, in R2000's polylines or R12's; circles as x, y, radius."""
    pairs = tags(data)
    at = pairs.index((2, "ENTITIES")) + 1
    kind = ""
    found: Entity = {}
    line: list[Entity] | None = None
    for code, value in pairs[at:]:
        if code != 0:
            found.setdefault(code, []).append(value)
            continue
        if kind == "VERTEX" and line is not None:
            line.append(found)
        elif kind == "POLYLINE":
            line = [found]
        elif kind == "SEQEND" and line is not None:
            head, *places = line
            points = [(float(place[10][0]), float(place[20][0])) for place in places]
            bulges = [float(place.get(42, ["0"])[0]) for place in places]
            yield head[8][0], ArcLine(np.array(points), np.array(bulges), int(head.get(70, ["0"])[0]) & 1 == 1)
            line = None
        elif kind == "CIRCLE":
            yield found[8][0], (float(found[10][0]), float(found[20][0]), float(found[40][0]))
        elif kind not in ("", "LWPOLYLINE"):
            raise ValueError(f"unexpected entity {kind}")
        if value == "ENDSEC":
            break
        kind, found = value, {}
    yield from polylines(data)


def _by_ezdxf(path: Path, form: DxfForm) -> Iterator[str]:
    document = ezdxf.readfile(path)  # type: ignore[attr-defined]
    recovered, told = ezdxf.recover.readfile(path)
    for name, auditor in (("audit", document.audit()), ("recover", told)):
        if auditor.errors or auditor.fixes:
            yield f"{name}: {(*auditor.errors, *auditor.fixes)[0].message}"
    if len(document.modelspace()) != len(recovered.modelspace()):
        yield "recovery finds another number of entities"
    release = {Release.R2000: "AC1015", Release.R12: "AC1009"}[form.release]
    if document.dxfversion != release:
        yield f"release {document.dxfversion}, expected {release}"
    used = {entity.dxf.layer for entity in document.modelspace()}
    if form.plain_colors and not all(document.layers.get(layer).color in PLAIN for layer in used):
        yield "a color that is not plain"


def _by_gdal(path: Path, part: Contours, form: DxfForm) -> Iterator[str]:
    os.environ["OGR_ARC_STEPSIZE"] = "0.03"
    fields, _, shapes, values = pyogrio.raw.read(path, columns=["Layer"])
    layers = values[list(fields["fields"]).index("Layer")]
    for layer, rings in (("cut-outside", [part.outer]), ("cut-inside", part.inner)):
        name = form.name(layer)
        read = [shapely.from_wkb(shape) for shape in shapes[layers == name]]
        closed = [line for line in read if line.geom_type == "Polygon" or line.is_ring]
        polygons = [line if line.geom_type == "Polygon" else shapely.Polygon(line.coords) for line in closed]
        for ring in rings:
            own = shapely.Polygon(ring.flat())
            if not any(p.is_valid and p.hausdorff_distance(own) < 0.05 for p in polygons):
                yield f"GDAL: no valid ring on {name} within 0.05 mm of a contour"


LAYERS_NAMED: tuple[tuple[RouterLayer, str], ...] = (
    ("cut-outside", "PROFILE"),
    ("cut-inside", "POCKET"),
    ("mark", "SCORE"),
    ("far-face", "SCORE"),
    ("text-names", "ENGRAVE"),
    ("text-bevels", "ENGRAVE"),
)
