"""Where frames, transom and stem stand in the hull, and which way their patterns are seen."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from patterns.geometry.arrays import unit
from patterns.geometry.cuts import Cylinder, Plane, station_plane
from patterns.hull.build import Transom
from patterns.hull.planking.skin import Hull
from patterns.parts.asked.rules import FrameKind, FramePlace, FrameRules, StationFace

WOOD_SIDE = 14.0  # mm from a frame's line to the X on the side its wood lies


@dataclass(frozen=True, slots=True)
class FrameStand:
    """A frame in its place: the plane of its marked face, and how far off and on which side its far face lies."""

    place: FramePlace
    face: Plane  # seen from outside the wood: the wood lies behind it
    far: Plane
    named_face: str  # "after face" or "fore face"
    wood: float  # -1 where the wood lies forward of the marked face, +1 aft
    called: str = ""  # what it is called where it is no frame of the boat but the framing of a transom
    material_key: str = "[frames] material"  # where boat.toml states its material
    off_station: float = 0.0  # mm the marked face stands aft of the station line: only a mould's may not stand on it

    @property
    def line(self) -> str:
        """What the line is called, on all that it crosses, where its marked face stands."""
        return f"frame {self.place.name}"


def stand_frame(hull: Hull, rules: FrameRules, place: FramePlace) -> FrameStand:
    """Set one frame on its station by the builder's rule for which face stands there.

    A frame's marked face is the one that stands on the station, and so is that of a mould with bevelled edges. Left
    square, a mould's is its end-ward one, wherever that stands: it touches the planking with no other (common practice,
    no single source).
    """
    forward = place.from_fp < hull.widest
    after_face = {
        StationFace.AFT: True,
        StationFace.FORE: False,
        StationFace.TOWARD_MIDSHIP: forward,
        StationFace.END_WARD: not forward,
    }[rules.station_face]
    if rules.kind is FrameKind.MOULD and not rules.bevelled:
        return _stand_mould(rules, place, forward=forward, after_face=after_face)
    wood = -1.0 if after_face else 1.0
    face = station_plane(place.from_fp, facing_aft=after_face)
    return FrameStand(place, face, face.shifted(-rules.sided), "after face" if after_face else "fore face", wood)


def _stand_mould(rules: FrameRules, place: FramePlace, *, forward: bool, after_face: bool) -> FrameStand:
    first = place.from_fp - (rules.sided if after_face else 0.0)
    end = first if forward else first + rules.sided
    face = station_plane(end, facing_aft=not forward)
    named, wood = ("fore face", 1.0) if forward else ("after face", -1.0)
    return FrameStand(place, face, face.shifted(-rules.sided), named, wood, off_station=end - place.from_fp)


def port_face(sided: float) -> Plane:
    """The port face of wood so wide on the centre line, seen from port: x aft, height above base up."""
    return Plane(np.array([0.0, -sided / 2, 0.0]), np.array([1.0, 0.0, 0.0]), np.array([0.0, 0.0, 1.0]))


def transom_face(transom: Transom, *, aft: bool) -> Plane:
    """The outer face of a transom, seen from outside the boat; its origin is where its centre line meets base."""
    top, foot = transom.profile[0], transom.profile[-1]
    up = unit(np.array([top[0] - foot[0], 0.0, top[1] - foot[1]]))
    origin = np.array([foot[0], 0.0, foot[1]]) - up * (foot[1] / up[2])
    right = np.array([0.0, 1.0 if aft else -1.0, 0.0])
    if transom.radius is None:
        return Plane(origin, right, up)
    return Cylinder(origin, right, up, transom.radius, transom.radius)


def transom_inner_face(transom: Transom, *, aft: bool) -> Plane:
    return transom_face(transom, aft=aft).shifted(-transom.thickness)
