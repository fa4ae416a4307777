"""Claims about the sample boats that have V bottoms, several chines or laps, as they are read."""

from __future__ import annotations

import pytest
from sample_jobs import FOLDERS

from patterns.hull.build import Joint, KeelJoint, Lap, Skin, Stem, Transom
from patterns.parts.asked.rules import Boat, FrameKind
from patterns.reading.boat.boat_toml import read_boat


def read(name: str) -> Boat:
    return read_boat(FOLDERS[name]).boat


def thick(skin: Skin) -> list[tuple[str, float]]:
    return [(name, planking.thickness) for name, planking in skin.named]


def test_sandlark_has_a_v_bottom_from_stem_to_transom() -> None:
    boat = read("sandlark")
    assert boat.offsets.lines == ("sheer", "chine", "keel")
    assert isinstance(boat.fore, Stem)
    assert isinstance(boat.aft, Transom)
    assert len(boat.fore.profile) == 7
    assert (boat.skin.joints, boat.skin.keel) == ((Joint.HALF_ANGLE,), KeelJoint.HALF_ANGLE)
    assert thick(boat.skin) == [("side", 6.2), ("bottom", 6.2)]


def test_fennel_has_a_v_bottom_between_two_transoms() -> None:
    boat = read("fennel")
    assert boat.offsets.lines == ("sheer", "chine", "keel")
    assert isinstance(boat.fore, Transom)
    assert isinstance(boat.aft, Transom)
    assert (boat.skin.joints, boat.skin.keel) == ((Joint.HALF_ANGLE,), KeelJoint.HALF_ANGLE)


def test_windrow_has_two_chines_and_a_flat_bottom_between_stem_and_sternpost() -> None:
    boat = read("windrow")
    assert boat.offsets.lines == ("sheer", "chine 1", "chine 2")
    assert isinstance(boat.fore, Stem)
    assert isinstance(boat.aft, Stem)
    assert boat.skin.joints == (Joint.HALF_ANGLE, Joint.LOWER_OVER)
    assert boat.skin.keel is None
    assert thick(boat.skin) == [("side", 6.2), ("strake 2", 6.2), ("bottom", 12.1)]


def test_marram_has_lapped_strakes_on_moulds() -> None:
    boat = read("marram")
    assert boat.skin.joints == (Joint.LAPPED, Joint.LAPPED, Joint.LOWER_OVER)
    assert boat.skin.lap == Lap(width=20, gain=350, least=2)
    assert thick(boat.skin) == [("side", 6.2), ("strake 2", 6.2), ("strake 3", 6.2), ("bottom", 12.1)]
    assert boat.frames is not None
    assert boat.frames.kind is FrameKind.MOULD


@pytest.mark.parametrize("name", FOLDERS)
def test_no_sample_leaves_its_planking_to_defaults(name: str) -> None:
    told = [default.key for default in read_boat(FOLDERS[name]).defaults]
    assert not [key for key in told if key.startswith(("[planking", "[laps]"))]
