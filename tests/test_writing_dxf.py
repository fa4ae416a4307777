"""DXF: what a router's reader finds in it, by GDAL and by a small reader of our own."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
import shapely

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats
from patterns.parts.part import Bevel, Edge, Mark, Part
from patterns.writing.dxf import write_dxf

Entity = dict[int, list[str]]


def hollow_panel() -> Part:
    """A panel 900 long with a hollow lower edge, a lightening hole and bevels."""
    x = np.linspace(0.0, 900.0, 181)
    lower = np.column_stack([x, 60.0 * np.sin(np.pi * x / 900.0)])
    upper = np.column_stack([x[::-1], 300.0 + 40.0 * np.cos(x[::-1] / 300.0)])
    after, fore = np.array([lower[-1], upper[0]]), np.array([upper[-1], lower[0]])
    bevels = tuple(Bevel(along, np.radians(turn), 0.0) for along, turn in ((0, 3.2), (300, -4.5), (700, 0.0)))
    turn = np.linspace(0.0, 2 * np.pi, 361)
    hole = np.column_stack([450 + 40 * np.cos(turn), 200 + 40 * np.sin(turn)])
    square = (Bevel(0.0, 0.0, 0.0),)
    return Part(
        name="side panel",
        hand="port",
        thickness=9.5,
        material="marine plywood",
        marked_face="inside face",
        edges=(
            Edge("chine", lower, lower + np.array([0.0, 0.6]), bevels),
            Edge("transom", after, after, square),
            Edge("sheer", upper, upper, square),
            Edge("stem", fore, fore, square),
        ),
        marks=(Mark("frame 1", np.array([[300.0, 60.0], [310.0, 330.0]])),),
        holes=(hole,),
    )


def tags(data: bytes) -> list[tuple[int, str]]:
    lines = data.decode("ascii").splitlines()
    return [(int(code), value) for code, value in zip(lines[::2], lines[1::2], strict=True)]


def entities(data: bytes) -> Iterator[tuple[str, Entity]]:
    """Kind and group codes of everything in the ENTITIES section."""
    pairs = tags(data)
    start = pairs.index((2, "ENTITIES")) + 1
    kind, found = "", {}
    for code, value in pairs[start:]:
        if code == 0:
            if kind:
                yield kind, found
            if value == "ENDSEC":
                return
            kind, found = value, {}
        else:
            found.setdefault(code, []).append(value)


def lines_on(data: bytes, layer: str) -> list[tuple[Floats, bool]]:
    """Points and closedness of the polylines of a layer."""
    return [
        (np.column_stack([np.array(found[10], float), np.array(found[20], float)]), found[70] == ["1"])
        for kind, found in entities(data)
        if kind == "LWPOLYLINE" and found[8] == [layer]
    ]


def header(data: bytes, name: str) -> list[str]:
    pairs = tags(data)
    start = pairs.index((9, name)) + 1
    values = []
    for code, value in pairs[start:]:
        if code in (0, 9):
            return values
        values.append(value)
    return values


def shoelace(ring: Floats) -> float:
    x, y = ring.T
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y) / 2)


def test_the_outline_is_one_closed_loop_without_repeats() -> None:
    part = hollow_panel()
    data = write_dxf(part)
    [(ring, closed)] = lines_on(data, "cut-outside")
    steps = np.hypot(*(ring - np.roll(ring, 1, axis=0)).T)
    assert closed
    assert steps.min() > 1e-4
    assert shoelace(ring) == pytest.approx(shoelace(part.outline), rel=1e-6)
    assert shoelace(ring) > 0
    [(hole, hole_closed)] = lines_on(data, "cut-inside")
    assert hole_closed
    assert abs(shoelace(hole)) == pytest.approx(np.pi * 40**2, rel=1e-4)


def test_far_faces_and_marks_are_open_lines_of_their_own_layers() -> None:
    data = write_dxf(hollow_panel())
    far = lines_on(data, "far-face")
    assert len(far) == 4
    assert not any(closed for _, closed in far)
    [(frame, closed)] = lines_on(data, "mark")
    assert not closed
    np.testing.assert_allclose(frame, [[300.0, 60.0], [310.0, 330.0]])


def test_only_layers_of_the_trade_are_used() -> None:
    kinds = {(kind, found[8][0]) for kind, found in entities(write_dxf(hollow_panel()))}
    assert kinds == {
        ("LWPOLYLINE", "cut-outside"),
        ("LWPOLYLINE", "cut-inside"),
        ("LWPOLYLINE", "far-face"),
        ("LWPOLYLINE", "mark"),
        ("TEXT", "text"),
    }


def test_the_text_says_what_the_piece_is_and_its_bevels() -> None:
    texts = [found[1][0] for kind, found in entities(write_dxf(hollow_panel())) if kind == "TEXT"]
    assert texts == [
        "side panel, port", "9.5 mm marine plywood", "inside face up", "3.2 deg standing", "4.5 deg under", "square",
    ]  # fmt: skip


def test_text_lies_on_the_wood() -> None:
    part = hollow_panel()
    wood = shapely.Polygon(part.outline)
    places = [(float(found[11][0]), float(found[21][0])) for kind, found in entities(write_dxf(part)) if kind == "TEXT"]
    assert all(wood.contains(shapely.Point(place)) for place in places)


def test_units_and_extents_are_stated() -> None:
    data = write_dxf(hollow_panel())
    assert header(data, "$INSUNITS") == ["4"]
    assert header(data, "$MEASUREMENT") == ["1"]
    assert header(data, "$ACADVER") == ["AC1015"]
    assert [float(value) for value in header(data, "$EXTMIN")] == [0.0, 0.0, 0.0]
    assert [float(value) for value in header(data, "$EXTMAX")][:2] == pytest.approx([900.0, 340.0])


def test_gdal_reads_the_same_areas(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Second reader: GDAL turns bulges to chords of 4 degrees unless told otherwise."""
    monkeypatch.setenv("OGR_ARC_STEPSIZE", "0.1")
    import pyogrio.raw

    part = hollow_panel()
    (tmp_path / "panel.dxf").write_bytes(write_dxf(part))
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
        "knee", "none", 18.0, "oak", "upper face",
        edges=tuple(Edge("edge", bow_tie[n : n + 2], bow_tie[n : n + 2], ()) for n in range(4)),
    )  # fmt: skip
    with pytest.raises(ShapeError, match="knee: the outline is not one clean loop"):
        write_dxf(part)


def test_the_same_part_gives_the_same_bytes_in_every_run() -> None:
    code = (
        "import sys, hashlib; sys.path.insert(0, 'tests')\n"
        "from test_writing_dxf import hollow_panel, write_dxf\n"
        "print(hashlib.sha256(write_dxf(hollow_panel())).hexdigest())"
    )
    root = Path(__file__).parent.parent
    runs = [
        subprocess.run(
            [sys.executable, "-c", code], cwd=root, capture_output=True, text=True, check=True,
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(root)},
        ).stdout
        for seed in ("0", "4711")
    ]  # fmt: skip
    assert runs[0] == runs[1]
