"""What the command makes of round hulls whose moulds are known: read out of the job's files, not of the program.

    python tests/bench/bench_round_jobs.py cases            each case of shared/round_hulls, as a builder runs it
    python tests/bench/bench_round_jobs.py forms [STEP]     closed forms, written to STEP mm (1)
    python tests/bench/bench_round_jobs.py thin [STEP]      the same, each without one of its rows of cuts

The edge of every mould is taken from its DXF file, marks and bevels from job.json. A mould with square edges is cut to
the smaller of its two faces' sections, so that is what the formula is asked for: at the station and at the other face,
planking inside. Told of each boat: how far points of the formula's edge lie off the DXF, worst and 95 of 100, and of
the mould's worst point the band; how far the DXF stands into the planking; marks; bevels; and the hull's volume.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import shapely

HOME = Path(__file__).parents[2]
sys.path[:0] = [str(HOME), str(HOME / "tests" / "support")]

from closed_round import ClosedRound, double_ender, ellipsoid, hollow, parabolic  # noqa: E402
from dxf_read import lines_on  # noqa: E402
from fresh_round import full_canoe, launch, wineglass  # noqa: E402
from round_cases import CASES, NAMES  # noqa: E402

from patterns.geometry.arrays import Floats  # noqa: E402
from patterns.geometry.tensor_skins import TensorSkin  # noqa: E402
from patterns.hull.build import StemFace  # noqa: E402
from patterns.hull.offsets import Offsets  # noqa: E402
from patterns.hull.round.round_hull import RoundHull  # noqa: E402
from patterns.parts.faired import fair_hull  # noqa: E402
from patterns.reading.boat.boat_toml import read_boat  # noqa: E402

FORMS = {"ellipsoid": ellipsoid, "parabolic": parabolic, "hollow": hollow, "double ender": double_ender,
         "launch": launch, "wineglass": wineglass, "full canoe": full_canoe}  # fmt: skip
PLANKING, SIDED = 9.0, 18.0
CLEAR = 1.0  # mm off the timber's side: nearer, a mould ends
SECTIONS = 801  # places along the boat by which a volume is summed


def written(folder: Path, form: ClosedRound, table: Offsets) -> Path:
    """The folder of a boat, as a builder writes it."""
    folder.mkdir(parents=True)
    finest = -int(np.floor(np.log10(table.rounding)))

    def cells(values: Floats) -> str:
        return ",".join("" if np.isnan(one) else f"{one:.{max(finest, 0)}f}" for one in values)

    lines = [f"{folder.name},{','.join(table.columns)}", f"from FP,{cells(table.from_fp)}"]
    for title, rows in (("heights", table.heights), ("half-breadths", table.half_breadths)):
        lines += [title + "," * len(table.columns), *(f"{row.name},{cells(row.values)}" for row in rows)]
    (folder / "offsets.csv").write_text("\n".join(lines) + "\n")
    stations = ", ".join(f'"{name}"' for name in table.columns[1:-1])
    ends = [_end(face, name, form.keel_half) for face, name in ((form.fore, table.columns[0]), (form.aft, table.columns[-1]))]  # fmt: skip  # noqa: E501
    diagonals = "".join(
        f"[diagonals.{one.name[-1]}]\nheight = {one.apex}\nangle = {np.degrees(one.angle):g}\n"
        for one in form.diagonal_places
        if any(row.name == one.name for row in table.half_breadths)
    )
    (folder / "boat.toml").write_text(
        f'[boat]\nname = "{folder.name}"\nunits = "mm"\noffsets = "offsets.csv"\nlines_to = "outside of planking"\n'
        f'fair_within = {max(table.rounding, 0.02)}\nshow = "mm"\n{"".join(ends)}'
        f"[planking.side]\nthickness = {PLANKING}\n"
        f'[frames]\nstations = [{stations}]\nkind = "mould"\nsided = {SIDED}\nside_moulded = 60\nfloor_moulded = 80\n'
        f'station_face = "end-ward"\n{diagonals}'
    )
    return folder


def _end(face: Any, name: str, half: float) -> str:
    profile = ", ".join(f"[{x:.4f}, {z:.4f}]" for x, z in face.profile.tolist())
    wood = f"sided = {2 * half}\nmoulded = 60\n" if isinstance(face, StemFace) else "thickness = 18\n"
    return f"[{name.replace(' ', '_')}]\nprofile = [{profile}]\n{wood}"


def edge_known(form: ClosedRound, x: float, other: float) -> tuple[Floats, shapely.Polygon]:
    """(n, 2) mm, the smaller of both faces' sections, and the room it encloses on the starboard side."""
    sections = [form.inside(at, PLANKING, 1201)[0] for at in (x, other)]
    top = min(one[-1, 1] for one in sections)
    rooms = [shapely.Polygon([*one, (0.0, one[-1, 1]), (0.0, one[0, 1])]).buffer(0) for one in sections]
    both = shapely.intersection(*rooms)
    kept = [
        one[shapely.contains_xy(room.buffer(1e-6), *one.T)] for one, room in zip(sections, rooms[::-1], strict=True)
    ]
    points = np.concatenate(kept)
    low = max(one[0, 1] for one in sections)
    return points[(points[:, 0] > form.keel_half + CLEAR) & (points[:, 1] < top) & (points[:, 1] > low)], both


def judged(name: str, folder: Path, form: ClosedRound) -> None:
    found = subprocess.run(
        [sys.executable, "-m", "patterns.cli.main", "loft", str(folder)],
        capture_output=True, text=True, check=False, cwd=HOME,
    )  # fmt: skip
    if found.returncode:
        print(f"{name}: refused\n{found.stderr}")
        return
    job = json.loads((folder / "out" / "job.json").read_text())
    boat = read_boat(folder).boat
    hull = fair_hull(boat)
    assert isinstance(hull, RoundHull)
    wood = {one["name"]: one for one in job["setting_up"]["frames"]}
    apart, into, marks, turned, worst = [], [], [], [], []
    for mould in job["moulds"]:
        x = mould["from_fp"]
        other = x + (SIDED if wood[mould["name"]]["wood"] == "aft" else -SIDED)
        (file,) = (folder / "out" / "router").glob(f"*{mould['name'].replace(' ', '-')}-*.dxf")
        (ring,) = lines_on(file.read_bytes(), "cut-outside")
        line = ring.flat(0.005)
        line = shapely.LinearRing(line - [np.mean(line[:, 0].min() + np.ptp(line[:, 0]) / 2), 0.0])
        points, room = edge_known(form, x, other)
        line = shapely.affinity.translate(line, 0.0, _base(line, job, mould["name"]))
        off = shapely.distance(shapely.points(points), line)
        k = int(off.argmax())
        band = _band(hull, x, points[k])
        outline = np.array(line.coords)
        edge = outline[(outline[:, 0] > form.keel_half + CLEAR) & (outline[:, 1] < points[:, 1].max())]
        apart.append(off)
        worst.append((float(off[k]), mould["name"], float(points[k, 1]), band))
        into.append(float(shapely.distance(shapely.points(edge), room).max()))
        exact, bevels = form.inside(x, PLANKING, 1201)
        for one in mould["lines"]:
            if one["half_breadth"] > form.keel_half + CLEAR and one["line"] not in ("sheer", "keel"):
                near = np.hypot(*(exact - (one["half_breadth"], one["height"])).T)
                place = shapely.Point(one["half_breadth"], one["height"])
                marks.append(float(shapely.distance(place, shapely.LineString(exact))))
                turned.append(abs(one["bevel"]["degrees"] - abs(np.degrees(bevels[near.argmin()]))))
    every = np.concatenate(apart)
    mm, where, z, band = max(worst)
    outside = sum(one[0] > one[3] for one in worst)
    print(
        f"{name:24} edge {mm:.2f} worst ({where} at {z:.0f}, band {band:.2f}), {np.quantile(every, 0.95):.2f} 95 %; "
        f"{outside} of {len(worst)} moulds out of band; into planking {max(into):.2f}; marks {max(marks):.2f} mm; "
        f"bevels {max(turned):.2f} deg; volume {volume(hull.skin) / volume(form.skin) - 1:+.1e}",
        flush=True,
    )


def _base(line: shapely.LinearRing, job: dict[str, Any], name: str) -> float:
    """mm from the lowest of a DXF to the base line, as job.json has the pattern."""
    outline = next(np.array(one["outline"]) for one in job["patterns"] if one["name"] == name)
    return float(outline[:, 1].min()) - float(line.bounds[1])


def _band(hull: Any, x: float, point: Floats) -> float:
    v = np.linspace(*hull.skin.reach(x), 241)
    places = hull.skin.section(x, v)
    near = np.hypot(*(places.points[:, 1:] - point).T).argmin()
    return float(hull.may_be_out(places)[near])


def volume(skin: TensorSkin) -> float:
    """mm3 of both sides from rabbet to sheer to the centre plane."""
    edge = np.linspace(0, 1, 201)
    low, high = float(skin.x_ends(edge)[0].min()), float(skin.x_ends(edge)[1].max())
    x = np.linspace(low, high, SECTIONS)
    areas = []
    for at in x.tolist():
        first, last = skin.reach(at)
        if not first < last:
            areas.append(0.0)
            continue
        y, z = skin.section(at, np.linspace(first, last, 161)).points[:, 1:].T
        areas.append(2 * float(((y[1:] + y[:-1]) / 2 * np.diff(z)).sum()))
    return float(np.trapezoid(areas, x))


def thinned(table: Offsets) -> list[tuple[str, Offsets]]:
    cuts = [row.name for row in (*table.heights, *table.half_breadths) if row.name not in table.lines]

    def left(out: str) -> Offsets:
        heights, halves = (tuple(row for row in rows if row.name != out) for rows in (table.heights, table.half_breadths))  # fmt: skip  # noqa: E501
        return replace(table, heights=heights, half_breadths=halves)

    return [(out, left(out)) for out in cuts[:: max(len(cuts) // 3, 1)]]


def main(what: str = "cases", step: str = "1") -> None:
    with tempfile.TemporaryDirectory() as temporary:
        home = Path(temporary)
        if what == "cases":
            for name in NAMES:
                folder = home / name
                folder.mkdir()
                for file in ("boat.toml", "offsets.csv"):
                    (folder / file).write_bytes((CASES / name / file).read_bytes())
                judged(name, folder, FORMS[name.split("_")[0]]())
            return
        for name, make in FORMS.items():
            form = make()
            table = form.table(float(step))
            if what == "forms":
                judged(f"{name}, {step} mm", written(home / name.replace(" ", "-"), form, table), form)
                continue
            for out, thin in thinned(table):
                folder = home / f"{name} {out}".replace(" ", "-")
                judged(f"{name}, {out} out", written(folder, form, thin), form)


if __name__ == "__main__":
    main(*sys.argv[1:])
