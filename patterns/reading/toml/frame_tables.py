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
    MouldPieces,
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
from patterns.reading.toml.toml_table import Table, needed, optional, taken, words

GUSSET_SHARE = 0.5  # of the frame's sided thickness; a third to a half is common practice, no single source


class FramesTable(Table):
    stations: Places = needed(
        "where frames stand: stations of the table, or distances from FP in quotes", ["1", "2", "5-3-0"]
    )
    sided: Positive = needed("thickness fore and aft, as measured", "3/4 in")
    side_moulded: Positive = needed("depth of a side timber, from the planking inboard", "2 1/4 in")
    floor_moulded: Positive = needed("depth of the floor timber, from the bottom up", "3 1/2 in")
    station_face: Annotated[StationFace, one_of_enum(StationFace), words(StationFace)] = needed(
        "which face of a frame stands on the station line", "toward midship"
    )
    kind: Annotated[FrameKind, one_of_enum(FrameKind)] = taken(
        "sawn", "timbers with gussets, one ring of plywood, or a mould that does not stay in the boat"
    )
    material: Word = taken(NOT_STATED, "its wood", "white oak")
    joint: Annotated[FrameJoint, one_of_enum(FrameJoint)] = taken(
        "sides on floor", "how the timbers of a sawn frame meet"
    )
    inside_corner: NotNegative = taken("1 1/2 in", "radius of the inner corners of sheet frames and open moulds")
    mould: Annotated[str, one_of_words("solid", "open")] = taken("solid", "whether a mould has an opening")
    mould_edges: Annotated[str, one_of_words("square", "bevelled")] = taken(
        "square", "whether a mould's edges are left square or bevelled to the planking"
    )
    mould_pieces: Annotated[str, one_of_words("whole", "halves")] = taken(
        "whole", "whole moulds, or halves joined on the center line; halves in any case where no sheet holds one whole"
    )
    mould_board: Positive | None = optional(
        "the widest board for open moulds, which are then made in pieces with cleats", "8 in"
    )
    cleat: Positive | None = optional(
        "thickness of the cleats that hold a mould's pieces; that of the mould where it is left out", "1/2 in"
    )
    limber: NotNegative = taken("1/2 in", "radius of the limbers, the drain holes along the planking; 0 in for none")
    notch_allowance: NotNegative = taken("0 in", "how much smaller each notch for a long piece is left, to be fitted")
    gusset: Positive | None = optional("thickness of the gussets; half of sided where it is left out", "3/8 in")
    gusset_faces: Annotated[str, one_of_words("both", "marked")] = taken("both", "faces of a frame that have gussets")
    gusset_material: Word = taken(NOT_STATED, "wood of the gussets", "marine plywood")


class OneFrameTable(Table):
    """One frame that differs from the rest."""

    station: StationName = needed("which frame: its station, as [frames] has it", "3")
    sided: Positive | None = optional("as in [frames]", "1 in")
    side_moulded: Positive | None = optional("as in [frames]", "2 1/2 in")
    floor_moulded: Positive | None = optional("as in [frames]", "4 in")
    station_face: Annotated[StationFace, one_of_enum(StationFace), words(StationFace)] | None = optional(
        "as in [frames]", "fore"
    )
    kind: Annotated[FrameKind, one_of_enum(FrameKind)] | None = optional("as in [frames]", "sheet")
    material: Word | None = optional("as in [frames]", "marine plywood")
    inside_corner: NotNegative | None = optional("as in [frames]", "2 in")
    limber: NotNegative | None = optional("as in [frames]", "0 in")
    notch_allowance: NotNegative | None = optional("as in [frames]", "1/16 in")


class BuildingTable(Table):
    way: Annotated[Way, one_of_enum(Way), words(Way)] = needed("which way up the boat is built", "upside down")
    strongback: Distance | None = optional(
        "height of the strongback's top above base, the boat seen right side up", "4-0-0"
    )
    spall: Distance | None = optional("height above base of the lower edge of every cross spall", "1-6-0")
    about: Text = taken("", "words for the book", "on two sawhorses")


_SAME_NAME = ("sided", "side_moulded", "floor_moulded", "station_face", "kind", "material", "inside_corner", "limber")


def frame_rules(
    table: FramesTable,
    own: Sequence[OneFrameTable],
    places: tuple[FramePlace, ...],
    sheets: tuple[tuple[float, float], ...] = (),
) -> FrameRules:
    """The rules of all frames, and of those that have their own.

    Parameters
    ----------
    sheets
        mm, length and width that a cutter uses of each sheet that moulds are cut from; none where none are named.
    """
    faces = 2 if table.gusset_faces == "both" else 1
    gussets = Gussets(gusset_thickness(table), faces, table.gusset_material, measured=table.gusset is not None)
    rules = FrameRules(
        places=places,
        joint=table.joint,
        solid=table.mould == "solid",
        bevelled=table.mould_edges == "bevelled",
        pieces=MouldPieces(table.mould_pieces == "halves", table.mould_board, sheets, table.cleat),
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
        "mould_edges": FrameKind.MOULD in kinds,
        "mould_pieces": FrameKind.MOULD in kinds,
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
