"""The job as data: what stands in job.json is the part's own geometry, face by face."""

from __future__ import annotations

import numpy as np
from sample_jobs import sample

from patterns.shop.stock.lengths import lengths_of
from patterns.writing.job_json.job_text import _pattern


def test_each_edge_has_the_line_of_the_marked_face_and_that_of_the_far_face() -> None:
    for part in sample("saltmeadow")[1].parts:
        data = _pattern(part, (), lengths_of(part), {})
        assert data["hand"] == part.hand
        for edge, told in zip(part.edges, data["edges"], strict=True):
            assert told["name"] == edge.name
            assert np.array_equal(told["points"], edge.points)
            assert np.array_equal(told["far"], edge.far)
            assert [bevel["kind"] for bevel in told["bevels"]] == [bevel.kind for bevel in edge.bevels]
    panel = next(part for part in sample("saltmeadow")[1].parts if part.name == "side panel")
    assert any(edge["points"] != edge["far"] for edge in _pattern(panel, (), lengths_of(panel), {})["edges"])
