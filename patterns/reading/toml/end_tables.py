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
from patterns.reading.toml.toml_table import Table, taken, words


class StemTable(Table):
    profile: Profile
    sided: Positive
    moulded: Positive
    material: Word = NOT_STATED
    planks_end: Annotated[PlankEnds, one_of_enum(PlankEnds), words(PlankEnds)] = taken("under a false stem")
    false_moulded: Positive | None = None
    false_material: Word = NOT_STATED
    layers: Count = taken(1)


class MotorTable(Table):
    width: Positive
    depth: Positive
    corner: NotNegative = taken("2 in")


class ScullingTable(Table):
    width: Positive
    depth: Positive
    off_centre: Distance = taken("0 in")


class FramingTable(Table):
    sided: Positive
    moulded: Positive
    material: Word = NOT_STATED


class TransomTable(Table):
    profile: StraightProfile
    thickness: Positive
    crown: NotNegative = taken("0 in")
    radius: Positive | None = None
    material: Word = NOT_STATED
    through: YesNo = False
    boards: Positive | None = None
    motor: MotorTable | None = None
    sculling: ScullingTable | None = None
    framing: FramingTable | None = None


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
        sculling=ScullingNotch(sculling.width, sculling.depth, sculling.off_centre) if sculling else None,
        framing=TransomFraming(framing.sided, framing.moulded, framing.material) if framing else None,
        through=table.through,
        boards=table.boards,
    )
