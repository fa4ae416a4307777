"""Which side of a line things stand on: the far face, the saw line, ticks into the wood, the bow, a port block."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from boats import wedge_side
from level_hulls import LOG, level_hull, log_of, planked
from plate_parts import frame, side_panel

from patterns.drawing.along_lines import Course
from patterns.drawing.marks import Stroke
from patterns.parts.part import Part
from patterns.plates.pattern.bevels import bevels_to_print, ticks
from patterns.plates.pattern.bow import bow_ink, bow_pointer
from patterns.plates.pattern.end_blocks import end_blocks
from patterns.plates.pattern.plate import Printing, plate


def lines(part: Part, layer: str) -> list[np.ndarray]:
    marks = plate(part, Printing("Saltmeadow", "mm")).marks
    return [mark.points for mark in marks if isinstance(mark, Stroke) and mark.layer == layer]


@pytest.mark.parametrize("run", [-5.0, 4.0])
def test_the_far_faces_line_lies_where_the_far_face_is(run: float) -> None:
    part = frame(run=run)
    drawn = lines(part, "far-face")
    wood = shapely.Polygon(part.outline)
    assert len(drawn) >= 3
    for line in drawn:
        assert any(np.array_equal(line, edge.far) for edge in part.edges)
        assert wood.contains(shapely.Point(line.mean(axis=0))) == (run < 0)  # under: within the marked face


@pytest.mark.parametrize("run", [-3.0, 3.0])
def test_the_saw_line_leaves_the_wood_for_the_plane_outside_both_faces(run: float) -> None:
    part = replace(frame(run=run), saw_allowance=2.5)
    [saw] = [shapely.Polygon(ring) for ring in lines(part, "saw")]
    faces = shapely.union_all([shapely.Polygon(ring).buffer(0.0) for ring in (part.outline, part.far_outline)])
    assert saw.contains(faces)
    assert saw.exterior.distance(faces) == pytest.approx(2.5, abs=0.01)


@pytest.mark.parametrize("part", [frame(), side_panel()], ids=lambda part: part.name)
def test_a_bevels_tick_runs_into_the_wood(part: Part) -> None:
    wood = shapely.Polygon(part.outline).buffer(0.2)
    seen = 0
    for edge in part.edges:
        for tick in ticks(Course.of(edge.points), bevels_to_print(edge, "mm")):
            assert wood.contains(shapely.LineString(tick.points)), edge.name
            seen += 1
    assert seen > 3


@pytest.mark.parametrize(("bow", "way"), [("left", (-1, 0)), ("right", (1, 0)), ("up", (0, 1)), ("down", (0, -1))])
def test_the_bow_arrow_points_to_the_bow(bow: str, way: tuple[int, int]) -> None:
    part = replace(side_panel(), bow=bow)  # type: ignore[arg-type]
    shaft = next(mark for mark in bow_ink(part) if isinstance(mark, Stroke))
    ran = shaft.points[-1] - shaft.points[0]
    assert ran / np.linalg.norm(ran) == pytest.approx(way)
    pointer = bow_pointer(part)
    assert pointer.angle is not None
    assert (np.cos(pointer.angle), np.sin(pointer.angle)) == pytest.approx(way, abs=1e-9)


@pytest.mark.parametrize("hand", ["port", "starboard"])
def test_the_section_of_an_end_block_seen_from_aft_has_the_planking_outboard(hand: str) -> None:
    """A chine log lies inside the planking: seen from aft a starboard log has it on its right, a port one left."""
    hull, _ = planked(level_hull(wedge_side(20.0, 12.0)))
    blocks = end_blocks(log_of(hull, LOG, hand), boat="b")
    # A tall paper has its section in a drawing of its own.
    sections = [one for one in blocks if any("planking on its" in getattr(mark, "text", "") for mark in one.marks)]
    assert len(sections) == 2
    for drawing in sections:
        section = next(
            m.points for m in drawing.marks if isinstance(m, Stroke) and m.closed and m.layer == "cut-outside"
        )
        against, far = section[:2, 0].mean(), section[2:, 0].mean()  # corners: lower, upper, far upper, far lower
        assert (against > far) == (hand == "starboard")
        words = " ".join(getattr(mark, "text", "") for mark in drawing.marks)
        assert f"planking on its {'right' if hand == 'starboard' else 'left'}" in words
