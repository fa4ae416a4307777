"""What is cut, as SVG: its areas and places by the rules of SVG itself, not by the program's."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest
import shapely
from boats import Floats
from parts_to_cut import hollow_panel, made

from patterns.shop.nest.sheet_stock import SheetStock
from patterns.shop.router.contours import Contours, Drilled
from patterns.shop.router.router_rules import DxfForm
from patterns.writing.ink.cut_svg import write_cut_sheet, write_cut_svg

SVG = "{http://www.w3.org/2000/svg}"


def arc(start: Floats, end: Floats, radius: float, *, large: bool, sweep: bool) -> Floats:
    """Points on an arc by SVG 1.1, appendix F.6.5: from end points to the center, radii alike, no rotation."""
    half = (start - end) / 2
    size = max(0.0, radius**2 - half @ half) / (half @ half)
    center = np.sqrt(size) * (1 if large != sweep else -1) * np.array([half[1], -half[0]]) + (start + end) / 2
    first, last = (float(np.arctan2(*(point - center)[::-1])) for point in (start, end))
    turn = (last - first) % (2 * np.pi) - (0.0 if sweep else 2 * np.pi)
    angles = first + np.linspace(0.0, 1.0, 400) * turn
    return np.asarray(center + radius * np.stack([np.cos(angles), np.sin(angles)], axis=1))


def ring(path: str) -> Floats:
    """(n, 2) points along a closed path of M, L, A and Z."""
    points: list[Floats] = []
    for letter, numbers in re.findall(r"([MLAZ])([^MLAZ]*)", path):
        values = [float(word) for word in numbers.split()]
        if letter in "ML":
            points.append(np.array([values]))
        elif letter == "A":
            radius, other, turned, large, sweep, *end = values
            assert radius == other
            assert turned == 0
            points.append(arc(points[-1][-1], np.array(end), radius, large=bool(large), sweep=bool(sweep)))
    assert path.endswith("Z")
    return np.concatenate(points)


def paths(text: str, layer: str) -> list[Floats]:
    groups = [group for group in ET.fromstring(text).iter(f"{SVG}g") if group.get("id") == layer]
    return [ring(str(path.get("d"))) for group in groups for path in group.iter(f"{SVG}path")]


def test_the_outline_and_the_hole_have_the_areas_of_the_part() -> None:
    part = made(hollow_panel()).at_origin()
    text = write_cut_svg(part, DxfForm())
    [outline], [hole] = paths(text, "cut-outside"), paths(text, "cut-inside")
    assert shapely.Polygon(outline).area == pytest.approx(part.outer.area, rel=1e-5)
    assert shapely.Polygon(hole).area == pytest.approx(np.pi * 40**2, rel=1e-4)
    root = ET.fromstring(text)
    assert str(root.get("width")).endswith("mm")
    assert [float(word) for word in str(root.get("viewBox")).split()] == pytest.approx(
        [0, 0, *part.bounds[1]], abs=1e-3
    )


def test_y_runs_down_and_a_part_is_not_mirrored() -> None:
    """Turned back upright, every place of the drawing is that of the contour: a mirror image would miss it."""
    part = made(hollow_panel()).at_origin()
    [outline] = paths(write_cut_svg(part, DxfForm()), "cut-outside")
    upright = shapely.Polygon(outline * (1.0, -1.0) + (0.0, float(part.bounds[1][1])))
    assert upright.symmetric_difference(shapely.Polygon(part.outer.flat(1e-5))).area < 0.5


def test_only_what_is_cut_through_is_written_and_on_the_shop_s_own_layers() -> None:
    part = made(hollow_panel()).at_origin().told(drilled=(Drilled((50.0, 60.0), 3.0),))
    text = write_cut_svg(part, DxfForm(own_names=(("cut-outside", "OUT"),)), run="ABCDE")
    groups = {group.get("id"): group for group in ET.fromstring(text).iter(f"{SVG}g")}
    assert set(groups) == {"OUT", "cut-inside", "drill"}
    [hole] = list(groups["drill"])
    assert float(str(hole.get("cy"))) == pytest.approx(float(part.bounds[1][1]) - 60.0, abs=1e-3)
    assert all(float(str(group.get("stroke-width"))) <= 0.01 for group in groups.values())
    assert "run ABCDE" in text


def test_parts_lie_on_the_sheet_where_they_were_placed() -> None:
    part: Contours = made(hollow_panel()).at_origin()
    placed = [part.placed(0.0, (20.0, 30.0)), part.placed(np.pi / 2, (1500.0, 40.0))]
    text = write_cut_sheet(placed, SheetStock(2440.0, 1220.0), "sheet 1", DxfForm())
    lying = [shapely.Polygon(points * (1.0, -1.0) + (0.0, 1220.0)) for points in paths(text, "cut-outside")]
    for drawn, true in zip(lying, placed, strict=True):
        assert drawn.symmetric_difference(shapely.Polygon(true.outer.flat(1e-5))).area < 0.5
