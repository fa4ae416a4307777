"""The tables of boat.toml that stem and transom are made by."""

from __future__ import annotations

from typing import Annotated

from patterns.parts.asked.end_rules import (
    EndWork,
    MotorCut,
    PlankEnds,
    ScullingNotch,
    StemWork,
    TransomFraming,
    TransomWork,
)
from patterns.parts.materials import NOT_STATED
from patterns.reading.toml.fields import (
    Count,
    Distance,
    NotNegative,
    Positive,
    Profile,
    StraightProfile,
    Word,
    YesNo,
    one_of_enum,
)
from patterns.reading.toml.toml_table import Table, needed, optional, table, taken, words


class StemLines(Table, extra="ignore"):
    """What the lines need of a stem or a sternpost."""

    profile: Profile = needed(
        "points of the face that the planking ends on, from the sheer down: each [from FP, above base], "
        "as many as the plan gives",
        [["0-0-0", "2-6-4"], ["1-1-4", "0-4-2"]],
    )


class StemTable(StemLines, extra="forbid"):
    sided: Positive = needed(
        "thickness athwart, as measured; more than twice the table's half-breadths on it, to the planking's inside",
        "2 1/2 in",
    )
    moulded: Positive = needed("depth fore and aft, in profile", "3 1/2 in")
    material: Word = taken(NOT_STATED, "its wood", "white oak")
    planks_end: Annotated[PlankEnds, one_of_enum(PlankEnds), words(PlankEnds)] = taken(
        "under a false stem", "how the planking ends on it"
    )
    false_moulded: Positive | None = optional("depth of the false stem, which then has a pattern", "1 in")
    false_material: Word = taken(NOT_STATED, "wood of the false stem", "white oak")
    layers: Count = taken(1, "layers that the stem is laminated from")


class MotorTable(Table):
    width: Positive = needed("width of the cut-out", "14 in")
    depth: Positive = needed("depth of the cut-out, from the top edge at the center line", "3 in")
    corner: NotNegative = taken("2 in", "radius of its lower corners")


class ScullingTable(Table):
    width: Positive = needed("width of the notch", "2 in")
    depth: Positive = needed("depth of the notch", "2 1/4 in")
    off_center: Distance = taken("0 in", "how far to starboard of the center line it stands; to port with a minus")


class FramingTable(Table):
    sided: Positive = needed("thickness fore and aft of the fashion pieces", "1 1/4 in")
    moulded: Positive = needed("their depth, from the planking inboard", "2 in")
    material: Word = taken(NOT_STATED, "their wood", "white oak")


class TransomLines(Table, extra="ignore"):
    """What the lines need of a transom."""

    profile: StraightProfile = needed(
        "two points of its outer face on the center line, from the sheer down: each [from FP, above base]",
        [["14-6-0", "1-11-2"], ["13-10-0", "0-4-5"]],
    )
    radius: Positive | None = optional(
        "radius of a bowed transom's outer face, which then bulges away from the boat", "6 ft"
    )


class TransomTable(TransomLines, extra="forbid"):
    thickness: Positive = needed("thickness of the board, as measured", "3/4 in")
    crown: NotNegative = taken("0 in", "how far its top edge stands above the sheer corners at the center line", "2 in")
    material: Word = taken(NOT_STATED, "its wood", "marine plywood")
    through: YesNo = taken(False, "true lets the long pieces come out through the transom")
    boards: Positive | None = optional("width of the boards it is laid out of", "5 in")
    motor: MotorTable | None = table("a cut-out for an outboard motor")
    sculling: ScullingTable | None = table("a notch for a sculling oar")
    framing: FramingTable | None = table("fashion pieces inside its edges")


def end_work(table: StemTable | TransomTable | None) -> EndWork | None:
    """What is asked of an end besides its shape."""
    match table:
        case StemTable():
            return StemWork(
                table.planks_end, table.false_moulded, table.false_material, int(table.layers), table.material
            )
        case TransomTable():
            return _transom_work(table)
        case None:
            return None


def _transom_work(table: TransomTable) -> TransomWork:
    motor, sculling, framing = table.motor, table.sculling, table.framing
    return TransomWork(
        motor=MotorCut(motor.width, motor.depth, motor.corner) if motor else None,
        sculling=ScullingNotch(sculling.width, sculling.depth, sculling.off_center) if sculling else None,
        framing=TransomFraming(framing.sided, framing.moulded, framing.material) if framing else None,
        through=table.through,
        boards=table.boards,
    )
