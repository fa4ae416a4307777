"""What a table's heights are measured from."""

from __future__ import annotations

from dataclasses import dataclass

from patterns.units.lengths import write_length


@dataclass(frozen=True, slots=True)
class Datum:
    """A level that heights are given from. Inside the program every height is above base."""

    name: str = "base"  # "base", "base above" (heights run down from it) or "water line" (+ above it, - below)
    above_base: float = 0.0  # mm

    @property
    def runs_down(self) -> bool:
        return self.name == "base above"

    def height(self, given: float) -> float:
        """A height above base, mm, of one given from this level.

        >>> Datum("base above", 900.0).height(250.0), Datum("water line", 150.0).height(-50.0)
        (650.0, 100.0)
        """
        return self.above_base + (-given if self.runs_down else given)

    def given(self, height: float) -> float:
        """The reverse: a height above base, mm, as this level gives it."""
        return self.above_base - height if self.runs_down else height - self.above_base

    def told(self, show: str) -> str:
        """What was done with the table's heights, for every report; lengths as ``show``."""
        at = write_length(self.above_base, show)
        match self.name:
            case "base above":
                return (
                    f"Heights in the table are measured down from a base {at} above base; "
                    f"turned to heights above base by taking each from {at}."
                )
            case "water line":
                return (
                    f"Heights in the table are measured from a water line {at} above base, + above it and - below; "
                    f"turned to heights above base by adding {at} to each."
                )
            case _:
                return "Heights in the table are above base."


BASE = Datum()
HEIGHTS_IN_TOML = "Heights in boat.toml, such as those of profiles, are above base."
