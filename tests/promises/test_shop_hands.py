"""Bench and router work of a pair: what is cut, scored, bored and laid out on port is starboard's turned over."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from sample_jobs import SAMPLES, sample
from twins import Floats, other_hand, pairs

from patterns.parts.part import Part
from patterns.shop.layout.layout_tables import LayoutTable, Point, Traced, layout_table, worth_a_table
from patterns.shop.router import router_parts
from patterns.shop.router.contours import Contours
from patterns.shop.router.router_parts import contours_of
from patterns.shop.router.router_rules import RouterRules
from patterns.shop.saw.saw_setup import saw_setup

FITTED = 0.06  # mm; each hand's lines are fitted with arcs by themselves, each within 0.02 mm of its own, corners too
PILOTS = {"pilot": 3.0, "pilot_edge": 10.0, "pilot_spacing": 65.0, "frame_spacing": 130.0, "frame_sided": 18.0}


def router(name: str, *, pilots: bool) -> RouterRules:
    rules = sample(name)[0].router
    return replace(rules, **PILOTS) if pilots else rules


def turned(points: Floats, of: Part, contours: Contours) -> Floats:
    """Points of a starboard part turned over as its port part is drawn: both begin at 0, 0."""
    across, high = contours.bounds[1]
    if of.bow in ("toward you", "away from you"):
        return np.stack([across - points[:, 0], points[:, 1]], axis=1)
    return np.stack([points[:, 0], high - points[:, 1]], axis=1)


def apart(ours: list[Floats], theirs: list[Floats]) -> float:
    """The furthest any point of one set of lines lies from the other, mm."""
    if not ours or not theirs:
        return 0.0 if len(ours) == len(theirs) else np.inf
    one, other = (shapely.MultiLineString(lines) for lines in (ours, theirs))
    return float(shapely.hausdorff_distance(one, other))


def rings(contours: Contours) -> list[Floats]:
    lines = [line.flat() for line in (contours.outer, *contours.inner)]
    return [np.concatenate([line, line[:1]]) for line in lines]


@pytest.mark.slow
@pytest.mark.parametrize("name", SAMPLES)
def test_a_pairs_contours_and_scored_lines_are_one_and_the_same_turned_over(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ticks beside bevels are left out: which of the figured bevels are lettered goes by the run of the edge."""
    monkeypatch.setattr(router_parts, "ticks", lambda part: ())
    job, rules = sample(name)[1], router(name, pilots=False)
    for pair in pairs((*job.parts, *job.pieces)):
        port, starboard = (contours_of(part, rules, boat="Test boat", show="mm") for part in pair)
        own = pair[1]
        assert np.abs(port.bounds[1] - starboard.bounds[1]).max() < FITTED, port.title
        assert apart(rings(port), [turned(ring, own, starboard) for ring in rings(starboard)]) < FITTED, port.title
        scored = ([(score.layer, score.line.flat()) for score in one.scored] for one in (port, starboard))
        ours, theirs = scored
        for layer in {layer for layer, _ in (*ours, *theirs)}:
            here = [line for word, line in ours if word == layer]
            there = [turned(line, own, starboard) for word, line in theirs if word == layer]
            # Lines that run along one another are scored once, whichever comes first.
            assert apart(here, there) < 2 * router_parts.SAME_SCORE, (port.title, layer)
        assert port.file_name == starboard.file_name.replace("starboard", "port")


@pytest.mark.parametrize("name", SAMPLES)
def test_a_pair_is_bored_alike(name: str) -> None:
    """Save where two lines of fastenings meet: there the first bored keeps the other's hole away."""
    job, rules = sample(name)[1], router(name, pilots=True)
    [pair] = [pair for pair in pairs(job.parts) if pair[0].name == "side panel"]
    port, starboard = (contours_of(part, rules, boat="Test boat", show="mm") for part in pair)
    ours, theirs = (np.array([hole.at for hole in one.drilled]) for one in (port, starboard))
    away = shapely.distance(shapely.points(ours), shapely.MultiPoint(turned(theirs, pair[1], starboard)))
    assert len(ours) == len(theirs) > 50
    assert (away > 1.0).sum() <= 4
    assert away.max() < 12.0


def figures(table: LayoutTable) -> tuple[list[Point], list[Traced]]:
    rounded = [Point(one.number, round(one.along, 6), round(one.off, 6) + 0.0) for one in table.points]
    return rounded, list(table.lines)


def over(line: Traced) -> Traced:
    first, last = map(other_hand, line.ends)
    return replace(line, name=other_hand(line.name), ends=(first, last))


@pytest.mark.parametrize("name", SAMPLES)
def test_a_pairs_layout_tables_have_the_same_figures_by_the_same_numbers(name: str) -> None:
    read, job = sample(name)
    seen = 0
    for pair in pairs((*job.parts, *job.pieces)):
        if not worth_a_table(pair[0]):
            continue
        port, starboard = (layout_table(part, room=read.sheets, show=job.boat.show) for part in pair)
        if port.axis == 0:
            ours, theirs = figures(port), figures(starboard)
            assert ours[0] == theirs[0], port.title
            assert ours[1] == [over(line) for line in theirs[1]], port.title
            assert port.sides == starboard.sides == ("above the line", "below the line")
        else:  # taller than long: each hand from the left side of its own drawing
            assert port.sides == starboard.sides
        for table in (port, starboard):
            _points_lie_on_their_lines(table)
        seen += 1
    assert seen >= 3


def _points_lie_on_their_lines(table: LayoutTable) -> None:
    drawn = [*((edge.name, edge.points) for edge in table.part.edges), *((m.name, m.points) for m in table.part.marks)]
    for line in table.lines:
        places = np.array([table.place(number) for number in line.numbers])
        away = min(
            float(shapely.distance(shapely.LineString(points), shapely.points(places)).max())
            for name, points in drawn
            if name == line.name
        )
        assert away < 1e-6, (table.title, line.name)


@pytest.mark.parametrize("name", SAMPLES)
def test_both_hands_of_a_long_piece_are_sawn_at_the_same_tilts(name: str) -> None:
    job, saw = sample(name)[1], sample("saltmeadow")[0].bench.saw
    assert saw is not None
    pieces = {piece.part.title: piece for piece in job.long_pieces}
    for title, port in pieces.items():
        if port.part.hand != "port":
            continue
        one, other = saw_setup(port, saw), saw_setup(pieces[other_hand(title)], saw)
        assert [rip.edge.name for rip in one.rips] == [rip.edge.name for rip in other.rips]
        for ours, theirs in zip(one.rips, other.rips, strict=True):
            assert ours.setting.tilt == pytest.approx(theirs.setting.tilt)
