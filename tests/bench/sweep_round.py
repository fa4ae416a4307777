"""Random round boats, lofted whole: each ends in a boat or a refusal, and each mould lies to its skin.

    python tests/bench/sweep_round.py [COUNT] [SEED]

Forms of tests/support/closed_round, their tables rounded; planking, ribbands, moulds, ends, ways of building at random.
"""

from __future__ import annotations

import sys
import traceback
from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import shapely

sys.path.insert(0, str(Path(__file__).parent.parent / "support"))

from closed_round import ClosedRound, double_ender, ellipsoid, hollow, parabolic
from round_boats import moulds_at, round_boat

from patterns.errors import PatternsError
from patterns.geometry.arrays import dots, unit
from patterns.hull.build import Layer, Stem, Transom
from patterns.parts.asked.end_rules import PlankEnds, StemWork
from patterns.parts.asked.rules import (
    Boat,
    Building,
    FrameKind,
    FramePlace,
    FrameRules,
    MouldPieces,
    RoundKeel,
    StationFace,
    Way,
)
from patterns.parts.frames.frame import frame_name
from patterns.parts.part import Edge
from patterns.parts.role import EdgeKind, Role
from patterns.parts.stands import FrameStand
from patterns.parts.whole import Job, loft
from patterns.shop.fit.skin_checks import skin_checks
from patterns.shop.layout.mould_figures import mould_figures
from patterns.shop.layout.setting_up import setting_up

INTO = 0.02  # mm a mould may stand into the planking
UNEVEN = (
    0.05  # mm between port and starboard: an outline has no more points than its shape needs, on either side others
)
CUSP = np.radians(50.0)  # rad at one point of a mould's edge: more is no edge along planking
BEVEL = np.radians(0.4)


def form_at_random(rng: np.random.Generator) -> ClosedRound:
    match int(rng.integers(4)):
        case 0:
            return ellipsoid(half=float(rng.uniform(500, 900)), deep=float(rng.uniform(300, 520)))
        case 1:
            return parabolic(siding=float(rng.uniform(6, 30)), broad=float(rng.uniform(800, 1300)))
        case 2:
            return hollow(float(rng.uniform(2.1, 3.2)), float(rng.uniform(520, 700)), float(rng.uniform(10, 30)),
                          float(rng.uniform(0.4, 1.3)), float(rng.uniform(0.0, 0.3)))  # fmt: skip
    return double_ender(float(rng.uniform(2.1, 2.8)), float(rng.uniform(380, 560)), float(rng.uniform(8, 25)))


def _cut_by(form: ClosedRound, rng: np.random.Generator) -> ClosedRound:
    """The form with 2 to 12 waterlines from the lowest of its own to the highest, where it has any."""
    low, high = form.waterlines[0], form.waterlines[-1]
    count = int(rng.integers(2, 13))
    return replace(form, waterlines=tuple(np.round(np.linspace(low, high, count), 1).tolist()))


def boat_at_random(rng: np.random.Generator) -> Boat:
    form = form_at_random(rng)
    top = 700.0 + float(rng.uniform(60, 400))
    layers = tuple(Layer(f"layer {i}", float(rng.uniform(3, 25)), on_moulds=True) for i in range(int(rng.integers(3))))
    low, high = float(form.stations[0]), float(form.stations[-1])
    places = [FramePlace(str(i), float(x)) for i, x in enumerate(np.sort(rng.uniform(low, high, 4)))]
    solid = bool(rng.integers(2))
    rules: dict[str, Any] = {
        "places": tuple(places),
        "sided": float(rng.uniform(9, 30)),
        "side_moulded": float(rng.uniform(40, 120)),
        "floor_moulded": float(rng.uniform(50, 140)),
        "station_face": list(StationFace)[int(rng.integers(4))],
        "kind": FrameKind.MOULD if rng.random() < 0.85 else FrameKind.SHEET,
        "solid": solid,
        "bevelled": bool(rng.integers(2)),
        "inside_corner": float(rng.uniform(0, 60)),
        "limber": float(rng.choice([0.0, 12.0])),
        "pieces": MouldPieces(bool(rng.integers(2)), None if solid else float(rng.uniform(120, 300))),
    }
    ways = (None, Building(Way.UPSIDE_DOWN, top, top - 100), Building(Way.RIGHT_SIDE_UP, -50.0, 300.0))
    form = _cut_by(form, rng)
    boat = round_boat(
        form,
        thickness=float(rng.uniform(3, 25)),
        layers=layers,
        frames=moulds_at(form, **rules),
        building=ways[int(rng.integers(3))],
        crown=float(rng.uniform(0, 60)),
    )
    if form.keel_half and rng.random() < 0.5:
        below = float(rng.uniform(5, 60))
        keel = RoundKeel(2 * form.keel_half, below + float(rng.uniform(5, 60)), below, "white oak")
        boat = replace(boat, keel=keel)
    step = float(rng.choice([0.01, 1.0, 3.175]))
    work = StemWork(
        PlankEnds.RABBET if rng.integers(2) else PlankEnds.FALSE_STEM,
        float(rng.uniform(10, 40)) if rng.integers(2) else None,
        layers=int(rng.integers(1, 6)),
    )
    radius = float(rng.uniform(1200, 4000)) if rng.random() < 0.3 else None
    aft = replace(boat.aft, radius=radius) if isinstance(boat.aft, Transom) else boat.aft
    return replace(
        boat,
        offsets=form.table(step),
        diagonals=form.diagonal_places,
        fair_within=max(step, 0.5),
        aft=aft,
        fore_work=work if isinstance(boat.fore, Stem) else None,
        aft_work=work if isinstance(boat.aft, Stem) else None,
    )


def judged(job: Job) -> None:
    """What must hold of every one of them."""
    for part in job.parts:
        for ring in (part.outline, part.far_outline):
            assert shapely.Polygon(ring).is_valid, f"{part.title}: outline crosses itself"
    for check in skin_checks(job):
        assert check.into < INTO, f"{check.part}: {check.into:.3f} mm into the planking"
    assert mould_figures(job)
    assert setting_up(job).frames
    for rules, stand in job.stands:
        _mould_judged(job, rules, stand)


def _mould_judged(job: Job, rules: FrameRules, stand: FrameStand) -> None:
    """One outline that does not turn back, both sides alike, legs up to the strongback, bevels of the true skin."""
    part = job.part(frame_name(rules, stand))
    ring = shapely.Polygon(part.outline)
    turned = shapely.Polygon(part.outline * (-1.0, 1.0))
    uneven = ring.exterior.hausdorff_distance(turned.exterior)
    assert uneven < UNEVEN, f"{part.title}: port and starboard are {uneven:.3f} mm apart"
    building = job.boat.building
    if building and building.way is Way.UPSIDE_DOWN:
        assert abs(float(part.outline[:, 1].max()) - building.strongback) < 1e-6, f"{part.title}: legs too short"
    pieces = [one for one in job.parts if one.of == part.title and one.role is Role.MOULD_PIECE]
    if pieces:
        together = shapely.union_all([shapely.Polygon(one.outline).buffer(1e-4) for one in pieces])
        assert together.symmetric_difference(ring).area < 1.0, f"{part.title}: its pieces are not the whole"
    for edge in part.edges:
        if edge.kind is EdgeKind.PLANKED:
            way = unit(np.diff(edge.points, axis=0))
            least = float(dots(way[1:], way[:-1]).min(initial=1.0))
            loops = any("thicker than the hull is round" in one for one in part.doubts)
            assert least > np.cos(CUSP) or loops, f"{part.title}: turns by {np.degrees(np.arccos(least)):.0f} at once"
            if rules.bevelled:
                _bevels_judged(job, rules, stand, edge)


def _bevels_judged(job: Job, rules: FrameRules, stand: FrameStand, edge: Edge) -> None:
    """Each bevel lies between those of the skin at both faces."""
    skin = job.hull.smooth
    assert skin is not None
    depth = skin.depth_of(mould=rules.kind is FrameKind.MOULD)
    cuts = [skin.section(face, depth).cut for face in (stand.face, stand.far)]
    if any(cut.loops for cut in cuts):
        return
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(edge.points, axis=0).T))])
    for bevel in edge.bevels[1:-1]:
        place = np.array([np.interp(bevel.along, run, edge.points[:, axis]) for axis in (0, 1)])
        both = []
        for cut in cuts:
            nearest = np.hypot(cut.points[:, 1] - abs(place[0]), cut.points[:, 2] - place[1]).argmin()
            both.append(-stand.wood * float(cut.bevels[nearest]))
        low, high = min(both) - BEVEL, max(both) + BEVEL
        assert low < bevel.angle < high, f"{edge.name}: {np.degrees([bevel.angle, *both]).round(2)}"


def main(count: int = 60, seed: int = 1) -> None:
    told: Counter[str] = Counter()
    for number in range(count):
        rng = np.random.default_rng((seed, number))
        boat = boat_at_random(rng)
        try:
            judged(loft(boat))
            told["made"] += 1
        except PatternsError as refused:
            told["refused"] += 1
            print(number, "refused:", str(refused).splitlines()[0])
        except Exception:
            told["BROKEN"] += 1
            print(number, boat.frames, boat.building)
            traceback.print_exc()
    print(dict(told))


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
