"""Which way the grain of every part lies on its sheet, measured from the outlines as they are nested."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
import shapely
import shapely.affinity
from sample_jobs import FOLDERS, SAMPLES, sample

from patterns.geometry.arrays import Floats
from patterns.job.shared.cutting import pieces_of
from patterns.parts.edges import mirrored
from patterns.parts.materials import Plywood
from patterns.parts.part import Part
from patterns.parts.role import Role
from patterns.parts.whole import Job
from patterns.shop.nest import sheets
from patterns.shop.nest.nesting import Effort
from patterns.shop.nest.sheet_pictures import sheet_picture
from patterns.shop.nest.sheet_stock import Clearances, SheetGrain, SheetRoom, SheetStock
from patterns.shop.nest.sheets import FilledSheet, Piece, SheetPlan, fill_sheets
from patterns.shop.router.router_parts import ready_to_cut
from patterns.shop.router.router_rules import Words
from patterns.writing.job_json.job_text import job_text

PLYWOOD = "marine plywood"
WITHIN = 0.6  # degrees: the proof allows half a degree


def of_plywood(piece: Piece) -> Piece:
    return replace(piece, part=replace(piece.part, material=PLYWOOD))


@cache
def filled(name: str, grain: SheetGrain) -> tuple[Job, tuple[FilledSheet, ...]]:
    """Every piece of a sample, its long ones and solid ones too, got out of plywood."""
    read, job = sample(name)
    rules = replace(read.router, words=Words.NONE)
    contours = ready_to_cut(job.to_cut, rules, boat=job.boat.name, show=job.boat.show)
    room = SheetRoom(
        (SheetStock(6000.0, 3000.0, grain=grain),), Clearances(margin=10.0, gap=10.0), Plywood(frozenset({PLYWOOD}))
    )
    with pytest.MonkeyPatch.context() as patch:
        # Pieces lie as the grain has them in any trial, so one will do.
        patch.setattr(Effort, "trials", lambda *_: 1)
        patch.setattr(sheets, "offcuts", lambda *_: ())  # nothing here asks what is left
        plan = fill_sheets(list(map(of_plywood, pieces_of(job, contours))), room, Effort.QUICK)
    assert not plan.left_off
    return job, plan.sheets


def longways(ring: Floats) -> float:
    """Degrees from x to the long side of the narrowest rectangle, by turning it a tenth of a degree at a time."""
    angles = np.radians(np.arange(0.0, 180.0, 0.1))
    across = ring @ np.stack([-np.sin(angles), np.cos(angles)])
    along = ring @ np.stack([np.cos(angles), np.sin(angles)])
    wide, high = np.ptp(along, axis=0), np.ptp(across, axis=0)
    fits = np.where(wide >= high, wide * high, np.inf)
    return float(np.degrees(angles[fits.argmin()]))


def off(a: float, b: float) -> float:
    apart = abs(a - b) % 180.0
    return min(apart, 180.0 - apart)


def own_direction(part: Part) -> float | None:
    """Degrees in the pattern: what a builder would say of the part by its name, read off its edges."""
    name = part.name
    if "timber" in name or name in ("stem", "sternpost") or name.startswith("false"):
        return longways(part.outline)
    if name.startswith("thwart") and "knee" not in name:
        return 90.0  # athwart, and x runs aft
    if "breasthook" in name:
        return 90.0
    if "knee" in name or "gusset" in name:
        edge = max((one for one in part.edges if one.name == "long edge"), key=lambda one: np.ptp(one.points))
        way = edge.points[-1] - edge.points[0]
        return float(np.degrees(np.arctan2(way[1], way[0])))
    if " panel" in name or (name.endswith("transom") and "framing" not in name):
        return 0.0
    if name == "skeg":
        way = np.diff(part.edge("lower").points[[0, -1]], axis=0)[0]
        return float(np.degrees(np.arctan2(way[1], way[0])))
    if part.role in (Role.FRAME, Role.MOULD):
        return None  # in one ring, so across its grain somewhere whichever way it lies
    return longways(part.outline)


@pytest.mark.slow
@pytest.mark.parametrize("grain", [SheetGrain.LENGTH, SheetGrain.WIDTH])
@pytest.mark.parametrize("name", FOLDERS)
def test_every_part_lies_along_its_sheets_grain(name: str, grain: SheetGrain) -> None:
    if grain is SheetGrain.WIDTH and name != "duckweed":
        pytest.skip("one boat across is enough")
    job, sheets = filled(name, grain)
    parts = {part.title: part for part in job.to_cut}
    seen = set()
    for sheet in sheets:
        for placement, _ in sheet.lying:
            part = parts[re.sub(r", \d+ of \d+$", "", placement.name)]
            known = own_direction(part)
            if known is not None:
                lies = known + placement.turn
                assert off(lies, 0.0 if grain is SheetGrain.LENGTH else 90.0) < WITHIN, placement.name
                seen.add(part.title)
            else:
                assert part.grain_any, placement.name
                seen.add(part.title)
    assert seen == set(parts)


def test_a_pair_of_parts_has_its_grain_turned_over_too() -> None:
    for part in sample("duckweed")[1].parts:
        if part.grain_along is not None:
            over = mirrored(part).grain_along
            assert over is not None
            assert off(np.degrees(over), -np.degrees(part.grain_along)) < 1e-6, part.title


@pytest.mark.slow
@pytest.mark.parametrize("name", SAMPLES)
def test_every_part_on_a_sheets_picture_has_an_arrow_along_the_sheets_grain(name: str) -> None:
    """One that may lie any way of the grain, as a frame in one ring, has an arrow too."""
    _, sheets = filled(name, SheetGrain.LENGTH)
    for sheet in sheets:
        picture = sheet_picture(sheet, "ft-in-16ths")
        wood = [shapely.affinity.scale(one.wood, 0.1, 0.1, origin=(0, 0)) for _, one in sheet.lying]
        lines = [
            stroke.points
            for stroke in picture.marks
            if type(stroke).__name__ == "Stroke" and stroke.layer == "mark" and len(stroke.points) == 2
        ]
        arrows = [shapely.LineString(line) for line in lines if abs(line[0, 1] - line[1, 1]) < 0.2]
        for (placement, _), shape in zip(sheet.lying, wood, strict=True):
            assert any(shape.contains(arrow) for arrow in arrows), placement.name


def test_a_frame_in_one_ring_is_square_to_its_sheets_grain_and_other_parts_say_which_way() -> None:
    _, job = sample("duckweed")
    assert [part.title for part in job.to_cut if part.grain_square] == ["frame 4"]


def test_the_job_file_says_how_the_grain_of_each_pattern_lies() -> None:
    patterns = json.loads(job_text(sample("duckweed")[1], {}, SheetPlan()))["patterns"]
    by_name = {(one["name"], one["hand"]): one["grain"] for one in patterns}
    assert by_name["side panel", "port"] == 0.0
    assert by_name["thwart 1", "none"] == 90.0
    assert by_name["frame 4", "none"] == "any"
