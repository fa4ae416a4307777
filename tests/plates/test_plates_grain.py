"""The grain's arrow on a pattern: along the grain, on the wood where that has room for it, clear of every line."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from sample_jobs import SAMPLES, sample

from patterns.drawing.marks import Drawing, Label, Stroke
from patterns.drawing.text import label_boxes
from patterns.parts.part import Part
from patterns.plates.pattern.bow import GRAIN
from patterns.plates.pattern.plate import Printing, plate


def drawn(name: str) -> list[tuple[Part, Drawing]]:
    job = sample(name)[1]
    parts = [part for part in job.parts if part.grain_angle is not None]
    return [(part, plate(part, Printing(job.boat.name, job.boat.show))) for part in parts]


@pytest.mark.slow
@pytest.mark.parametrize("name", SAMPLES)
def test_the_arrow_lies_along_the_grain_and_clear_of_all_other_ink(name: str) -> None:
    for part, drawing in drawn(name):
        (at,) = (n for n, mark in enumerate(drawing.marks) if isinstance(mark, Label) and mark.text == GRAIN)
        # After its word: the shaft and a head at either end.
        shaft, *heads = (mark.points for mark in drawing.marks[at + 1 : at + 4] if isinstance(mark, Stroke))
        assert part.grain_angle is not None
        way = np.arctan2(*(shaft[1] - shaft[0])[::-1])
        assert np.sin(way - part.grain_angle) == pytest.approx(0.0, abs=1e-9)
        ours = shapely.union_all(
            [
                shapely.Polygon(label_boxes([drawing.marks[at]])[0]),  # type: ignore[list-item]
                *(shapely.LineString(points) for points in (shaft, *heads)),
            ]
        )
        for mark in drawing.marks[:at] + drawing.marks[at + 4 :]:
            if isinstance(mark, Stroke):
                ring = np.concatenate([mark.points, mark.points[:1]]) if mark.closed else mark.points
                assert shapely.LineString(ring).distance(ours) > 0.5, (part.title, mark.layer)
            elif isinstance(mark, Label) and mark.text:
                box = shapely.Polygon(label_boxes([mark])[0])
                assert box.distance(ours) > 0.2, (part.title, mark.text)


def test_a_gusset_has_its_arrow_on_the_wood() -> None:
    """In the title block it cost a sheet of paper a gusset."""
    found = 0
    for part, drawing in drawn("saltmeadow"):
        if "gusset" in part.title:
            (at,) = (mark.at for mark in drawing.marks if isinstance(mark, Label) and mark.text == GRAIN)
            assert shapely.Polygon(part.outline).contains(shapely.Point(at)), part.title
            found += 1
    assert found
