"""The tables of boat.toml that frames and moulds are made by."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Annotated, Any

from patterns.parts.asked.rules import (
    Building,
    FrameJoint,
    FrameKind,
    FramePlace,
    FrameRules,
    Gussets,
    StationFace,
    Way,
)
from patterns.parts.materials import NOT_STATED
from patterns.reading.toml.fields import (
    Distance,
    NotNegative,
    Places,
    Positive,
    StationName,
    Text,
    Word,
    one_of_enum,
    one_of_words,
)
from patterns.reading.toml.toml_table import Table, taken, words

GUSSET_SHARE = 0.5  # of the frame's sided thickness; a third to a half is common practice, no single source


class FramesTable(Table):
    stations: Places
    sided: Positive
    side_moulded: Positive
    floor_moulded: Positive
    station_face: Annotated[StationFace, one_of_enum(StationFace), words(StationFace)]
    kind: Annotated[FrameKind, one_of_enum(FrameKind)] = taken("sawn")
    material: Word = NOT_STATED
    joint: Annotated[FrameJoint, one_of_enum(FrameJoint)] = taken("sides on floor")
    inside_corner: NotNegative = taken("1 1/2 in")
    mould: Annotated[str, one_of_words("solid", "open")] = "solid"
    limber: NotNegative = taken("1/2 in")
    notch_allowance: NotNegative = taken("0 in")
    gusset: Positive | None = None
    gusset_faces: Annotated[str, one_of_words("both", "marked")] = "both"
    gusset_material: Word = NOT_STATED


class OneFrameTable(Table):
    """One frame that differs from the rest."""

    station: StationName
    sided: Positive | None = None
    side_moulded: Positive | None = None
    floor_moulded: Positive | None = None
    station_face: Annotated[StationFace, one_of_enum(StationFace), words(StationFace)] | None = None
    kind: Annotated[FrameKind, one_of_enum(FrameKind)] | None = None
    material: Word | None = None
    inside_corner: NotNegative | None = None
    limber: NotNegative | None = None
    notch_allowance: NotNegative | None = None


class BuildingTable(Table):
    way: Annotated[Way, one_of_enum(Way), words(Way)]
    strongback: Distance | None = None
    spall: Distance | None = None
    about: Text = ""


_SAME_NAME = ("sided", "side_moulded", "floor_moulded", "station_face", "kind", "material", "inside_corner", "limber")


def frame_rules(table: FramesTable, own: Sequence[OneFrameTable], places: tuple[FramePlace, ...]) -> FrameRules:
    """The rules of all frames, and of those that have their own."""
    faces = 2 if table.gusset_faces == "both" else 1
    gussets = Gussets(gusset_thickness(table), faces, table.gusset_material, measured=table.gusset is not None)
    rules = FrameRules(
        places=places,
        joint=table.joint,
        solid=table.mould == "solid",
        shy=table.notch_allowance,
        gussets=gussets,
        **{name: getattr(table, name) for name in _SAME_NAME},
    )
    return replace(rules, own=tuple((" ".join(one.station.split()), _changed(rules, one)) for one in own))


def idle_keys(table: FramesTable, own: Sequence[OneFrameTable]) -> set[str]:
    """Keys that say nothing of frames of the kinds this boat has."""
    kinds = {table.kind, *(one.kind for one in own if one.kind)}
    open_mould = FrameKind.MOULD in kinds and table.mould == "open"
    used = {
        "joint": FrameKind.SAWN in kinds,
        "gusset": FrameKind.SAWN in kinds,
        "gusset_faces": FrameKind.SAWN in kinds,
        "gusset_material": FrameKind.SAWN in kinds,
        "inside_corner": FrameKind.SHEET in kinds or open_mould,
        "mould": FrameKind.MOULD in kinds,
        "limber": kinds != {FrameKind.MOULD},
        "notch_allowance": kinds != {FrameKind.MOULD},
    }
    return {key for key, yes in used.items() if not yes}


def gusset_thickness(table: FramesTable) -> float:
    """mm, as written or in proportion to the frame."""
    return table.gusset or GUSSET_SHARE * table.sided


def _changed(rules: FrameRules, one: OneFrameTable) -> FrameRules:
    changes: dict[str, Any] = {name: getattr(one, name) for name in _SAME_NAME}
    changes["shy"] = one.notch_allowance
    return replace(rules, **{name: value for name, value in changes.items() if value is not None})


def building(table: BuildingTable | None) -> Building | None:
    """How the boat is set up, where the builder says so."""
    if table is None:
        return None
    return Building(table.way, table.strongback or 0.0, table.spall)
