"""DXF: what a router's reader finds in it, by GDAL and by a small reader of our own."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from pathlib import Path

import ezdxf
import numpy as np
import pytest
import shapely
from dxf_read import entities, header, lines_on, tags
from fresh_runs import printed_in_fresh_runs
from parts_to_cut import hollow_panel, made

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats
from patterns.parts.part import Edge, Part
from patterns.parts.role import Role
from patterns.shop.nest.sheet_stock import SheetStock, Strip
from patterns.shop.router.contours import Drilled
from patterns.shop.router.router_rules import DxfForm, Release, RouterRules, Words
from patterns.writing.ink.dxf import write_dxf, write_sheet


def shoelace(ring: Floats) -> float:
    x, y = ring.T
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y) / 2)


def test_the_outline_is_one_closed_loop_of_few_arcs_without_repeats() -> None:
    part = hollow_panel()
    data = write_dxf(made(part))
    [outline] = lines_on(data, "cut-outside")
    assert outline.closed
    assert outline.chords.min() > 1.0
    assert len(outline.points) < 36
    assert outline.area == pytest.approx(shoelace(part.outline), rel=1e-5)
    [hole] = lines_on(data, "cut-inside")
    assert hole.closed
    assert -hole.area == pytest.approx(np.pi * 40**2, rel=1e-5)
    np.testing.assert_allclose(hole.radii, 40.0, atol=1e-3)


def test_bevelled_edges_and_marks_are_scored_inside_the_wood() -> None:
    data = write_dxf(made(hollow_panel()))
    [far] = lines_on(data, "far-face")
    assert not far.closed
    frame, *ticks = lines_on(data, "mark")
    assert len(ticks) == 2  # the third stands at a corner, on the next edge
    wood = shapely.Polygon(lines_on(data, "cut-outside")[0].flat())
    for line in (far, frame, *lines_on(data, "text-names"), *lines_on(data, "text-bevels")):
        assert not line.closed
        assert wood.contains(shapely.LineString(line.flat()))
    assert frame.length == pytest.approx(shapely.LineString([[300.0, 60.0], [310.0, 330.0]]).length, abs=15.0)


def test_only_polylines_on_layers_of_the_trade_are_used() -> None:
    kinds = {(kind, found[8][0]) for kind, found in entities(write_dxf(made(hollow_panel())))}
    layers = ("cut-outside", "cut-inside", "far-face", "mark", "text-names", "text-bevels")
    assert kinds == {("LWPOLYLINE", layer) for layer in layers}


def test_parts_on_a_sheet_stand_where_they_were_placed() -> None:
    part = made(hollow_panel()).at_origin()
    data = write_sheet(
        [part.placed(0.0, (20.0, 30.0)), part.placed(np.pi / 2, (1500.0, 40.0))], SheetStock(2440.0, 1220.0)
    )
    one, other = lines_on(data, "cut-outside")
    np.testing.assert_allclose(one.flat().min(axis=0), (20.0, 30.0), atol=1e-3)
    assert other.flat()[:, 0].max() == pytest.approx(1500.0, abs=1e-3)
    assert one.area == pytest.approx(other.area, abs=0.5)
    assert header(data, "$EXTMAX")[:2] == ["2440.0", "1220.0"]
    assert lines_on(data, "sheet")[0].area == pytest.approx(2440.0 * 1220.0)


def test_every_sheet_has_a_proof_square_clear_of_its_parts() -> None:
    part = made(hollow_panel()).at_origin()
    parts = [part.placed(0.0, (20.0, 30.0)), part.placed(np.pi / 2, (1500.0, 40.0))]
    [square] = [line for line in lines_on(write_sheet(parts, SheetStock(2440.0, 1220.0)), "mark") if line.closed]
    np.testing.assert_allclose(square.chords, 100.0)
    assert square.area == pytest.approx(100.0**2)
    ground = shapely.Polygon(square.points)
    assert min(ground.distance(placed.wood) for placed in parts) >= 12.0


def test_the_proof_square_keeps_off_forbidden_strips_and_says_which_sheet_it_is_on() -> None:
    strips = (Strip(0.0, 0.0, 1000.0, 1220.0), Strip(1400.0, 0.0, 1040.0, 1220.0))
    sheet = SheetStock(2440.0, 1220.0, forbidden=strips)
    bare, named = write_sheet([], sheet), write_sheet([], sheet, ("sheet 3", "12.7 mm marine plywood"))
    [square] = [line for line in lines_on(named, "mark") if line.closed]
    assert square.points[:, 0].min() > 1000.0
    assert square.points[:, 0].max() < 1400.0
    strokes = lines_on(named, "text-names")
    assert len(strokes) > len(lines_on(bare, "text-names"))
    low, high = square.points.min(axis=0), square.points.max(axis=0)
    assert all((stroke.points > low).all() and (stroke.points < high).all() for stroke in strokes)


def test_a_full_sheet_has_two_sides_of_the_proof_square_in_its_corner() -> None:
    part = made(hollow_panel()).at_origin()
    data = write_sheet([part.placed(0.0, (12.0, 12.0))], SheetStock(924.0, 364.0))
    [sides] = [line for line in lines_on(data, "mark") if np.allclose(line.chords, 100.0)]
    assert len(sides.chords) == 2
    assert not shapely.LineString(sides.points).intersects(part.placed(0.0, (12.0, 12.0)).wood)


def test_units_and_extents_are_stated() -> None:
    data = write_dxf(made(hollow_panel()))
    assert header(data, "$INSUNITS") == ["4"]
    assert header(data, "$MEASUREMENT") == ["1"]
    assert header(data, "$ACADVER") == ["AC1015"]
    assert [float(value) for value in header(data, "$EXTMIN")] == [0.0, 0.0, 0.0]
    assert [float(value) for value in header(data, "$EXTMAX")][:2] == pytest.approx([900.0, 340.0], abs=0.02)


def test_gdal_reads_the_same_areas(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Second reader: GDAL turns bulges to chords of 4 degrees unless told otherwise."""
    monkeypatch.setenv("OGR_ARC_STEPSIZE", "0.1")
    import pyogrio.raw

    part = hollow_panel()
    (tmp_path / "panel.dxf").write_bytes(write_dxf(made(part)))
    fields, _, shapes, values = pyogrio.raw.read(tmp_path / "panel.dxf", columns=["Layer"])
    layers = values[list(fields["fields"]).index("Layer")]
    by_layer = {name: [shapely.from_wkb(s) for s in shapes[layers == name]] for name in set(layers)}
    [outline], [hole] = by_layer["cut-outside"], by_layer["cut-inside"]
    assert shapely.Polygon(outline.coords).area == pytest.approx(shoelace(part.outline), rel=1e-4)
    assert shapely.Polygon(hole.coords).area == pytest.approx(np.pi * 40**2, rel=1e-4)
    assert outline.is_ring
    assert hole.is_ring


def test_a_crossing_outline_is_refused() -> None:
    bow_tie = np.array([[0, 0], [100, 100], [100, 0], [0, 100], [0, 0]], float)
    part = Part(
        "knee", "none", 18.0, "oak", "upper face", role=Role.KNEE,
        edges=tuple(Edge("edge", bow_tie[n : n + 2], bow_tie[n : n + 2], ()) for n in range(4)),
    )  # fmt: skip
    where = r"knee: its edge 'edge' crosses itself 50\.0 mm right of its lower left corner and 50\.0 mm above it; "
    with pytest.raises(ShapeError, match=where + "expected edges that never cross: change the sizes in boat.toml"):
        made(part)
    with pytest.raises(
        ShapeError, match=where + "expected edges .*: planking of this thickness cannot turn so sharply"
    ):
        made(replace(part, role=Role.PANEL))


@pytest.mark.slow
def test_the_same_part_gives_the_same_bytes_in_every_run() -> None:
    code = (
        "import hashlib\n"
        "from parts_to_cut import hollow_panel, made\nfrom patterns.writing.ink.dxf import write_dxf\n"
        "print(hashlib.sha256(write_dxf(made(hollow_panel()))).hexdigest())"
    )
    assert printed_in_fresh_runs(code) == {hashlib.sha256(write_dxf(made(hollow_panel()))).hexdigest()}


def test_a_hole_is_as_wide_as_it_is_bored() -> None:
    """A CIRCLE has its radius in group 40, not its diameter."""
    part = made(hollow_panel())
    bored = part.told(drilled=(Drilled((100.0, 120.0), 3.2),))
    found = tags(write_dxf(bored))
    circle = found.index((0, "CIRCLE"))
    radius = next(value for code, value in found[circle:] if code == 40)
    assert float(radius) == pytest.approx(1.6)


OWN = DxfForm(own_names=(("cut-outside", "PROFILE"), ("text-names", "ENGRAVE"), ("text-bevels", "ENGRAVE")))


@pytest.mark.parametrize("release", list(Release))
@pytest.mark.parametrize("plain", [False, True])
def test_either_release_holds_the_same_lines_for_three_readers(release: Release, plain: bool, tmp_path: Path) -> None:
    """ezdxf reads and audits it, GDAL finds the same area, and vertices are those of the other release."""
    import pyogrio.raw

    part = made(hollow_panel())
    path = tmp_path / "part.dxf"
    path.write_bytes(write_dxf(part, replace(OWN, release=release, plain_colors=plain)))
    document = ezdxf.readfile(path)
    assert not document.audit().errors
    assert document.dxfversion == {Release.R2000: "AC1015", Release.R12: "AC1009"}[release]
    kind = "LWPOLYLINE" if release is Release.R2000 else "POLYLINE"
    [outline] = document.modelspace().query(f"{kind}[layer=='PROFILE']")
    vertices = (
        outline.get_points("xyb")
        if kind == "LWPOLYLINE"
        else [(*vertex.dxf.location.vec2, vertex.dxf.get("bulge", 0.0)) for vertex in outline.vertices]
    )
    assert outline.is_closed
    [plain_outline] = lines_on(write_dxf(part), "cut-outside")
    np.testing.assert_allclose([vertex[:2] for vertex in vertices], plain_outline.points, atol=1e-6)
    np.testing.assert_allclose([vertex[2] for vertex in vertices], plain_outline.bulges, atol=1e-9)
    names = {entity.dxf.layer for entity in document.modelspace()}
    assert names == {"PROFILE", "cut-inside", "far-face", "mark", "ENGRAVE"}
    colors = {layer.dxf.name: layer.dxf.color for layer in document.layers if layer.dxf.name in names}
    assert all(1 <= color <= 7 for color in colors.values()) or not plain
    assert colors["PROFILE"] != colors["cut-inside"]
    fields, _, shapes, values = pyogrio.raw.read(path, columns=["Layer"])
    layers = values[list(fields["fields"]).index("Layer")]
    [ring] = [shapely.from_wkb(shape) for shape in shapes[layers == "PROFILE"]]
    assert shapely.Polygon(ring.coords).area == pytest.approx(part.outer.area, rel=1e-3)


def test_names_and_bevels_are_engraved_on_layers_of_their_own() -> None:
    part = made(hollow_panel())
    data = write_dxf(part)
    assert len(lines_on(data, "text-bevels")) == part.lettering.bevels > 0
    assert len(lines_on(data, "text-names")) == len(part.lettering.counts) - part.lettering.bevels > 0


def test_the_short_form_letters_name_face_and_bow_and_no_bevel() -> None:
    full, short = made(hollow_panel()), made(hollow_panel(), RouterRules(words=Words.SHORT))
    assert short.lettering.bevels == 0
    assert 0 < len(short.lettering.counts) < len(full.lettering.counts) - full.lettering.bevels
    assert not made(hollow_panel(), RouterRules(words=Words.NONE)).lettering.counts


def test_the_proof_square_keeps_to_the_margin_where_clamps_stand() -> None:
    for margin in (0.0, 40.0, 75.0):
        data = write_sheet([], SheetStock(2440.0, 1220.0), margin=margin)
        [square] = [line for line in lines_on(data, "mark") if line.closed]
        low, high = square.points.min(axis=0), square.points.max(axis=0)
        kept = min(*low, *(np.array([2440.0, 1220.0]) - high))
        assert kept >= max(margin, 12.0) - 1e-6
