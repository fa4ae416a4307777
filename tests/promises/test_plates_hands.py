"""Patterns of a pair: every line of the port drawing is one of the starboard drawing turned over."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
import shapely
from sample_jobs import SAMPLES, sample
from twins import Floats, Over, other_hand, pairs

from patterns.drawing.marks import Cross, Drawing, Label, Stroke
from patterns.parts.part import Part
from patterns.plates.pattern.plate import Printing, plate

DRAWN = 0.01  # mm
Lines = list[tuple[str, bool, Floats]]


def bare(part: Part, show: str) -> Drawing:
    """Without bevels and pricks, which are lettered by the run of the edge, and the grain, which goes where it can."""
    return plate(replace(part, grain_angle=None), Printing("Test boat", show, notes=False, pricks=False))


def strokes(drawing: Drawing, over: Over | None = None) -> Lines:
    """Layer, whether closed, and points of all that is no part of the title block."""
    marks = [mark for mark in drawing.body if isinstance(mark, Stroke)]
    return [(mark.layer, mark.closed, over(mark.points) if over else mark.points) for mark in marks]


def crosses(drawing: Drawing) -> Floats:
    """(n, 2) mm, the exact places of corners."""
    return np.array([mark.at for mark in drawing.marks if isinstance(mark, Cross)])


def apart(one: Floats, other: Floats, *, closed: bool) -> float:
    lines = [np.concatenate([line, line[:1]]) if closed else line for line in (one, other)]
    return float(shapely.hausdorff_distance(*map(shapely.LineString, lines)))


def unmatched(ours: Lines, theirs: Lines) -> list[tuple[str, float]]:
    """Layer and mm of every line that has no twin."""
    left, found = list(theirs), []
    for layer, closed, points in ours:
        away = [
            (apart(points, line, closed=closed), n)
            for n, (word, ring, line) in enumerate(left)
            if (word, ring) == (layer, closed)
        ]
        nearest, n = min(away, default=(np.inf, -1))
        if nearest < DRAWN:
            left.pop(n)
        else:
            found.append((layer, nearest))
    return found


@pytest.mark.parametrize("name", SAMPLES)
def test_every_line_of_a_port_pattern_is_a_starboard_line_turned_over(name: str) -> None:
    job = sample(name)[1]
    for port, starboard in pairs(job.parts):
        over = Over(starboard, port)
        ours, theirs = (bare(part, job.boat.show) for part in (port, starboard))
        assert ours.title == other_hand(theirs.title)
        here, there = strokes(ours), strokes(theirs, over)
        assert Counter(line[:2] for line in here) == Counter(line[:2] for line in there), port.title
        assert unmatched(here, there) == [], port.title
        corners, twins = crosses(ours), over(crosses(theirs))
        assert len(corners) == len(twins)
        away = shapely.distance(shapely.points(corners), shapely.MultiPoint(twins))
        assert away.max() < DRAWN, port.title


@pytest.mark.slow
@pytest.mark.parametrize("name", SAMPLES)
def test_names_on_a_port_pattern_stand_by_what_they_name_on_starboard(name: str) -> None:
    """Bevels and pricks aside, each word's own place on port is that on starboard turned over, or on the same line."""
    job = sample(name)[1]
    for port, starboard in pairs(job.parts):
        ours, theirs = (plate(p, Printing("Test boat", job.boat.show, pricks=False)) for p in (port, starboard))
        words = [
            {mark.text for mark in drawing.body if isinstance(mark, Label) and mark.home} for drawing in (ours, theirs)
        ]
        named = {edge.name for edge in port.edges} | {mark.name for mark in port.marks}
        assert words[0] & named == {other_hand(text) for text in words[1]} & named, port.title
        for label in ours.marks:
            if isinstance(label, Label) and label.home and label.text in named:
                lines = [e.points for e in port.edges if e.name == label.text]
                lines += [m.points for m in port.marks if m.name == label.text]
                assert min(shapely.LineString(line).distance(shapely.Point(label.home)) for line in lines) < 0.5
