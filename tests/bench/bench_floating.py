"""Floats every sample at many levels, and has a general mesh library measure what lies under the water.

Needs trimesh, which the project does not: `.venv/bin/pip install trimesh mapbox-earcut rtree networkx`.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import trimesh

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from patterns.geometry.floating import Level, immersed  # noqa: E402
from patterns.hull.planking import outside  # noqa: E402
from patterns.job.boat_job import BoatJob  # noqa: E402
from patterns.reading.boat.boat_toml import read_boat  # noqa: E402

LEVELS = 20


def main() -> None:
    """One line a sample: the worst disagreement, and what finer meshes would change."""
    random = np.random.default_rng(1)
    for folder in sorted((ROOT / "samples").iterdir()):
        job = BoatJob(read_boat(folder))
        body = outside.outside_body(job.lofted.hull)
        mesh = body.mesh
        whole = trimesh.Trimesh(mesh.points, mesh.triangles, process=False)
        assert whole.is_watertight, folder.name
        worst = abs(whole.volume / mesh.volume - 1)
        low, high = mesh.points[:, 2].min(), mesh.points[:, 2].max()
        for _ in range(LEVELS):
            middle = float(random.uniform(low + 0.15 * (high - low), low + 0.7 * (high - low)))
            trim = float(random.uniform(-0.06, 0.06))
            x = float(mesh.middle[0])
            level = Level(middle * np.cos(trim) - x * np.sin(trim), trim)
            under = immersed(body, level)
            cut = whole.slice_plane(level.height * level.up, -level.up, cap=True)
            top = (np.abs(level.above(cut.triangles)) < 1e-6).all(axis=1)
            worst = max(
                worst,
                abs(cut.volume / under.volume - 1),
                float(np.linalg.norm(cut.center_mass - under.centre)) / float(np.ptp(mesh.points[:, 0])),
                abs(cut.area_faces[top].sum() / under.waterplane - 1),
            )
        finer = _at(job, 4)
        level = Level(float(low + 0.4 * (high - low)))
        here, there = immersed(body, level), immersed(finer, level)
        steps = max(
            abs(here.volume / there.volume - 1),
            abs(here.wetted / there.wetted - 1),
            abs(here.waterplane / there.waterplane - 1),
        )
        print(f"{folder.name:<12} differs from the library by {worst:.1e}, from a mesh 4 times as fine by {steps:.1e}")


def _at(job: BoatJob, times: int) -> outside.Body:
    columns, rows = outside.COLUMNS, outside.ROWS
    outside.COLUMNS, outside.ROWS = times * (columns - 1) + 1, times * (rows - 1) + 1
    try:
        return outside.outside_body(job.lofted.hull)
    finally:
        outside.COLUMNS, outside.ROWS = columns, rows


if __name__ == "__main__":
    main()
