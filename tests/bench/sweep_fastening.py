"""Boats whose fastening keys are changed at random, their screws measured in space.

    nice python tests/bench/sweep_fastening.py SEED [BOATS]      (20 where not said)

Pitch, edge, lengths and stock are drawn at random, inwale and outwale put in or left out. Of every boat: no two screws
meet; none is nearer an edge than asked or in a frame's notch; each point ends in wood, not in the air; the router bores
panels where the book counts; book, CSV and job.json have the same counts; areas are those of the patterns.
"""

from __future__ import annotations

import csv
import io
import json
import random
import sys
import tempfile
import tomllib
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import shapely

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "support")]

from screws import in_the_air, nearest  # noqa: E402
from toml_written import toml_text  # noqa: E402

from patterns import BoatJob, make  # noqa: E402
from patterns.errors import PatternsError  # noqa: E402
from patterns.parts.role import Role  # noqa: E402
from patterns.reading.boat.boat_toml import read_boat  # noqa: E402
from patterns.shop.fastening.seam import Seam, totals  # noqa: E402

BOATS = ("saltmeadow", "sandlark", "duckweed", "windrow", "marram", "reedling", "fennel")
LEAST = 3.5  # mm between the middles of two screws


def changed(chance: random.Random, data: dict[str, Any]) -> dict[str, Any]:
    """The tables of a boat, with keys drawn at random."""
    router = data.setdefault("router", {})
    router["pilot"] = f"{chance.uniform(1.5, 4):.1f} mm"
    router["pilot_edge"] = f"{chance.uniform(8, 14):.1f} mm"
    router["pilot_spacing"] = f"{chance.uniform(35, 110):.0f} mm"
    router["frame_spacing"] = f"{chance.uniform(60, 200):.0f} mm"
    data["fastenings"] = {
        "sheer_spacing": f"{chance.uniform(45, 140):.0f} mm",
        "length_times": round(chance.uniform(2, 3.5), 1),
        "short_of": f"{chance.uniform(2, 6):.1f} mm",
    }
    data["finish"] = {"coats": chance.randint(0, 4), "fillet": f"{chance.uniform(8, 20):.0f} mm"}
    for rail in ("inwale", "outwale"):
        match chance.choice(("as it is", "in", "out")):
            case "in":
                sized = {"sided": f"{chance.uniform(12, 25):.0f} mm", "moulded": f"{chance.uniform(22, 50):.0f} mm"}
                data[rail] = {**sized, "material": "white oak"}
            case "out":
                data.pop(rail, None)
    for strake in ("side", "bottom"):
        if chance.random() < 0.3 and isinstance(data.get("planking", {}).get(strake), dict):
            data["planking"][strake]["thickness"] = f"{chance.uniform(5, 12):.1f} mm"
    return data


def faults(job: BoatJob) -> Iterator[str]:
    """What is wrong with a boat's fastenings."""
    lofted, router = job.lofted, job.read.router
    for apart, one, other in nearest(lofted, job.seams)[:3]:
        if apart < LEAST:
            yield f"{one} and {other}: {apart:.1f} mm apart"
    for seam in job.seams:
        yield from _near_edges(job, seam)
    yield from in_the_air(lofted, job.seams)
    bored = {one.title: sum(not hole.index for hole in one.drilled) for one in job.contours}
    counted = Counter[str]()
    for seam in job.seams:
        counted[seam.part] += seam.count
    pieces = {joined.panel.title for joined in lofted.long_panels.joined}
    for part in lofted.parts:
        whole = part.role is Role.PANEL and not part.of_boards and part.title not in pieces
        if whole and router.index is None and bored[part.title] != counted[part.title]:
            yield f"{part.title}: {bored[part.title]} bored, {counted[part.title]} counted"
    yield from _elsewhere(job)


def _near_edges(job: BoatJob, seam: Seam) -> Iterator[str]:
    part = job.lofted.part(seam.part)
    if part.role is not Role.PANEL:
        return
    faces = [shapely.Polygon(face).buffer(0) for face in (part.outline, part.far_outline)]
    for face in faces:
        off = shapely.distance(shapely.points(seam.places), face.exterior)
        inside = shapely.contains_xy(face, *seam.places.T)
        if not inside.all() or off.min() < 0.98 * job.read.router.pilot_edge:
            yield f"{seam.part}, {seam.along}: {off.min():.1f} mm from an edge"
    gaps = np.linalg.norm(seam.places[:, None] - seam.places[None], axis=2) + 1e9 * np.eye(seam.count)
    if seam.count > 1 and gaps.min() < 12.0:
        yield f"{seam.part}, {seam.along}: {gaps.min():.1f} mm from the next"


def _elsewhere(job: BoatJob) -> Iterator[str]:
    """Counts in the files, and areas."""
    files: dict[str, Any] = dict(make(job, "fastenings").files)
    rows = list(csv.reader(io.StringIO(str(next(iter(files.values()))))))
    start = next(n for n, row in enumerate(rows) if row[:1] == ["part"])
    at = rows[start].index("count")
    told = [int(row[at]) for row in rows[start + 1 :] if len(row) > at]
    whole = sum(seam.count for seam in job.seams)
    bought = sum(count for _, count, _ in totals(job.seams, job.read.fastenings))
    figures: dict[str, Any] = dict(make(job, "job.json").files)
    held = json.loads(next(iter(figures.values())))["fastening_and_finishing"]
    counts = {sum(told), bought, sum(one["count"] for one in held["seams"]), whole}
    if len(counts) > 1:
        yield f"counts differ: {sorted(counts)}"
    areas = [shapely.Polygon(p.outline).area * p.count for p in job.lofted.parts if p.role is Role.PANEL]
    if abs(sum(areas) - held["planking_inside"]) > 1.0:
        yield f"{sum(areas):.0f} mm2 of panels, {held['planking_inside']:.0f} told"


def main(seed: int, boats: int) -> None:
    failed = 0
    for number in range(boats):
        chance = random.Random(f"{seed} {number}")
        name = BOATS[number % len(BOATS)]
        folder = ROOT / "samples" / name
        with tempfile.TemporaryDirectory() as made:
            data = changed(chance, tomllib.loads((folder / "boat.toml").read_text(encoding="utf-8")))
            Path(made, "boat.toml").write_text(toml_text(data), encoding="utf-8")
            Path(made, "offsets.csv").write_bytes((folder / "offsets.csv").read_bytes())
            try:
                job = BoatJob(read_boat(Path(made)))
                found = list(faults(job))
            except PatternsError as error:
                print(f"{number} {name}: refused, {str(error)[:150]}")
                continue
        failed += bool(found)
        screws = sum(seam.count for seam in job.seams)
        print(f"{number} {name}: {len(job.seams)} seams, {screws} screws", *found, sep="\n    ", flush=True)
    print(f"{failed} of {boats} with faults")


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 20)
