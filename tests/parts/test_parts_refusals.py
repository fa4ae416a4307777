"""Where lines and faces fail to meet, the refusal begins with the part that was being made, said once."""

from __future__ import annotations

import re
from pathlib import Path
from typing import NoReturn

import pytest
from boat_folders import changed
from sample_jobs import sample

from patterns.errors import ShapeError
from patterns.parts.whole import loft
from patterns.reading.boat.boat_toml import read_boat
from patterns.shop.saw.long_bench import bench

DEEDS = (  # a sample, the deed that fails, where it is used, and the part it is done for
    ("saltmeadow", "parts.long.log", "develop", "chine log"),
    ("saltmeadow", "parts.long.rail", "develop", "inwale"),
    ("saltmeadow", "parts.long.keel", "develop", "keel batten"),
    ("saltmeadow", "parts.long.skeg", "met", "skeg"),
    ("saltmeadow", "parts.panels.mating", "_turned", "side panel"),
    ("saltmeadow", "parts.frames.frame_pieces", "_gussets", "frame 1"),
    ("duckweed", "parts.fittings.thwarts", "make_edge", "thwart 1"),
    ("duckweed", "parts.fittings.knees", "_arm", "bow quarter knee"),
    ("reedling", "parts.fittings.knees", "_one_side", "breasthook"),
)


def failing(*_: object, **__: object) -> NoReturn:
    raise ShapeError("two edges that should meet in a corner do not, {} apart", 12.0)


@pytest.mark.slow
@pytest.mark.parametrize(("name", "module", "deed", "part"), DEEDS)
def test_what_does_not_meet_is_told_by_its_part(
    name: str, module: str, deed: str, part: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    boat = read_boat(changed(name, tmp_path, {})).boat
    monkeypatch.setattr(f"patterns.{module}.{deed}", failing)
    with pytest.raises(ShapeError) as told:
        loft(boat)
    assert re.match(rf"{part}[^:]*: (edge [^:]*: )?two edges that should meet in a corner do not", str(told.value))


def test_what_fails_at_the_saw_is_told_by_its_part(monkeypatch: pytest.MonkeyPatch) -> None:
    read, job = sample("saltmeadow")
    monkeypatch.setattr("patterns.shop.saw.edge_views.across", failing)
    piece = job.long_pieces[0]
    with pytest.raises(ShapeError, match=f"{piece.part.title}: two edges"):
        bench([piece], read.bench)
