"""Every error a user can cause. Anything else that is raised is a bug of ours and shows its traceback."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


class PatternsError(Exception):
    """What the builder wrote cannot be carried out. Shown without a traceback."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One fault in a file.

    ``cell`` says where (file, row and column, or file and key), ``found`` what stands there, ``wanted`` what
    should. All three are words for the builder.
    """

    cell: str
    found: str
    wanted: str

    def __str__(self) -> str:
        return f"{self.cell}: found {self.found}, wanted {self.wanted}"


class InputError(PatternsError):
    """Faults in what was read, all of them at once."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


class ShapeError(PatternsError):
    """Good input that makes no boat: the message names the part and the place."""
