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
from patterns.hull.build import Layer, Stem, Transom
from patterns.parts.asked.end_rules import PlankEnds, StemWork
from patterns.parts.asked.rules import Boat, Building, FrameKind, FramePlace, MouldPieces, RoundKeel, StationFace, Way
from patterns.parts.whole import Job, loft
from patterns.shop.fit.skin_checks import skin_checks
from patterns.shop.layout.mould_figures import mould_figures
from patterns.shop.layout.setting_up import setting_up

INTO = 0.02  # mm a mould may stand into the planking


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
