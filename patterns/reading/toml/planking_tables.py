"""The planking as boat.toml says it: a table for each strake from the sheer down, and how strakes lap."""

from __future__ import annotations

import re
from enum import StrEnum
from typing import Annotated, Any

from pydantic import BeforeValidator, model_validator

from patterns.hull.build import Joint, KeelJoint
from patterns.parts.asked.joint_rules import JointKind
from patterns.parts.materials import NOT_STATED
from patterns.reading.toml.fields import (
    Count,
    Lengths,
    Name,
    NotNegative,
    PlankThickness,
    Positive,
    Taper,
    Word,
    YesNo,
    fault,
    one_of_enum,
)
from patterns.reading.toml.toml_table import Table, needed, optional, table, taken, words
from patterns.reading.wording import one_of

_STRAKE = re.compile(r"strake_(?P<number>[2-9]|[1-9][0-9])")


class Laps(StrEnum):
    """How a flat bottom and the sides meet, as builders of flat-bottomed boats say it."""

    OVER = "over the sides"
    BETWEEN = "between the sides"

    @property
    def joint(self) -> Joint:
        """The same as of any two strakes."""
        return Joint.LOWER_OVER if self is Laps.OVER else Joint.UPPER_OVER


class LinesOf(StrEnum):
    """What the plank lines of a round hull are lines of."""

    PLANKS = "planks"
    RIBBANDS = "ribbands"


class _JoinedTable(Table):
    """How the panels of a strake are joined."""

    joint: Annotated[JointKind, one_of_enum(JointKind)] | None = optional(
        "how the pieces of a panel longer than a sheet are joined", "scarf"
    )
    joint_at: Lengths | None = optional("where joints stand, along the panel from its fore end", ["8-0-0"])
    stagger: NotNegative | None = optional("least distance between the joints to port and to starboard", "12 in")


class LayerTable(Table):
    """One layer of a round hull's planking, or of what lies between planking and moulds; from the outside in."""

    name: Name = needed("what it is", "ribbands")
    thickness: PlankThickness = needed("its thickness, as measured", "3/4 in")
    on_moulds: YesNo = taken(
        False, "true for what lies inside the planking and on the moulds alone, as ribbands and bent frames do"
    )


class SideTable(_JoinedTable):
    thickness: PlankThickness = needed("thickness, as measured and not as sold", "3/8 in")
    material: Word = taken(NOT_STATED, "its wood", "marine plywood")
    layers: list[LayerTable] | None = table("a layer of a round hull's planking, or of what lies on its moulds")


class StrakeTable(_JoinedTable):
    """A strake below the side; what it leaves out is as in the strake above."""

    thickness: PlankThickness | None = optional("thickness, as measured", "1/4 in")
    material: Word | None = optional("its wood", "marine plywood")
    chine_joint: Annotated[Joint, one_of_enum(Joint), words(Joint)] | None = optional(
        "how it meets the strake above; half angle where it is left out, or lapped where there is a table [laps]",
        "lower over upper",
    )


class BottomTable(_JoinedTable):
    thickness: PlankThickness = needed("thickness, as measured and not as sold", "1/2 in")
    material: Word = taken(NOT_STATED, "its wood", "marine plywood")
    laps: Annotated[Laps, one_of_enum(Laps), words(Laps)] | None = optional(
        "how a flat bottom meets the sides; a flat bottom needs laps or chine_joint", "over the sides"
    )
    chine_joint: Annotated[Joint, one_of_enum(Joint), words(Joint)] | None = optional(
        "how it meets the strake above; half angle for a V bottom where it is left out", "half angle"
    )
    keel_joint: Annotated[KeelJoint, one_of_enum(KeelJoint), words(KeelJoint)] | None = optional(
        "how a V bottom ends along the keel; half angle where it is left out", "on the keel"
    )
    boards: Lengths | None = optional("widths of boards that a flat bottom is laid of, athwart", ["5 in"])


class PlankLinesTable(Table):
    """How planks or ribbands divide the girth of a round hull."""

    count: Count | None = optional("planks to a side, or ribbands", 3)
    widest: Positive | None = optional("in place of count: as few planks as are no broader than this", "4 in")
    breadths: Lengths | None = optional(
        "in place of count: their breadths from the keel up, where the girth is greatest", ["5 in", "4 in", "3 in"]
    )
    strip: Positive | None = optional("in place of count: the breadth of strips, to be told how many", "3/4 in")
    taper: Taper = taken(1, "breadth of the uppermost plank over that of the garboard")
    breadths_fore: Lengths | None = optional(
        "breadths at the fore end, from the keel up; only what they are to each other counts",
        ["2 in", "1 3/4 in", "1 1/2 in"],
    )
    breadths_aft: Lengths | None = optional("the same at the after end", ["3 in", "2 1/2 in", "2 1/4 in"])
    of: Annotated[LinesOf, one_of_enum(LinesOf)] = taken("planks", "what the lines are of")

    @model_validator(mode="after")
    def _divided_one_way(self) -> PlankLinesTable:
        ways = ("count", "widest", "breadths", "strip")
        if sum(getattr(self, way) is not None for way in ways) != 1:
            raise fault("one of count, widest, breadths and strip")
        for name in ("breadths_fore", "breadths_aft"):
            given = getattr(self, name)
            planks = len(self.breadths) if self.breadths else self.count
            if given and (planks is None or self.of is LinesOf.RIBBANDS):
                raise fault(f"count or breadths of planks, beside {name}")
            if given and len(given) != planks:
                raise fault(f"{name} with a breadth for each of {planks:g} planks")
        if min((*(self.breadths or ()), *(self.breadths_fore or ()), *(self.breadths_aft or ())), default=1.0) <= 0:
            raise fault("breadths more than nothing")
        return self


PlankTable = SideTable | StrakeTable | BottomTable


class _NoStrake:
    """What stands under a name that no strake has."""

    def __init__(self, name: str, value: Any) -> None:
        self.found = "an unknown table" if isinstance(value, dict) else "an unknown key"
        self.wanted = one_of(("side", "strake_2", "strake_3", "bottom"), name)


def _of_a_strake(value: Any) -> Any:
    if isinstance(value, _NoStrake):
        raise fault(value.wanted, found=value.found)
    return value


class PlankingTable(Table, extra="allow"):
    """Side and bottom, and between them as many strakes as the boat has, each under its number from the sheer down."""

    __pydantic_extra__: dict[str, Annotated[StrakeTable, BeforeValidator(_of_a_strake)]]

    side: SideTable = needed("the strake below the sheer", None)
    bottom: BottomTable = needed(
        "the lowest strake", None, description="a table with the bottom's thickness, as you measured it"
    )

    @model_validator(mode="before")
    @classmethod
    def _strakes_have_numbers(cls, data: Any) -> Any:
        if not isinstance(data, dict):
            return data
        known = {"side", "bottom"}
        return {
            key: value if key in known or _STRAKE.fullmatch(key) else _NoStrake(key, value)
            for key, value in data.items()
        }

    @property
    def strakes(self) -> dict[int, StrakeTable]:
        """The tables between side and bottom by their numbers."""
        numbered = {int(key.removeprefix("strake_")): table for key, table in self.__pydantic_extra__.items()}
        return dict(sorted(numbered.items()))

    @property
    def tables(self) -> tuple[tuple[str, PlankTable], ...]:
        """Every table there is, by its name, from the sheer down."""
        between = ((f"strake_{number}", table) for number, table in self.strakes.items())
        return ("side", self.side), *between, ("bottom", self.bottom)


class LapsTable(Table):
    """How lapped strakes lie on each other."""

    width: Positive = needed("width of the face that the strake above lies on", "3/4 in")
    gain: NotNegative = taken(  # common practice, no single source
        "12 in", "distance from each end over which a lap fades until both strakes lie flush"
    )
    least: NotNegative = taken(  # a ply or so of thin plywood; judgement
        "1/16 in", "thickness that the bevel must leave at the top edge of the lower strake"
    )
