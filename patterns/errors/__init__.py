"""Every error a user can cause. Anything else that is raised is a bug of ours and shows its traceback."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass

MOST_NEAR = 6  # names told of those that are like one that nothing has


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
        return f"{self.cell}: found {self.found}, expected {self.wanted}"


class InputError(PatternsError):
    """Faults in what was read, all of them at once."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


class ShapeError(PatternsError):
    """Good input that makes no boat: the message names the part and the place.

    Where lines and faces fail to meet no part is known yet: each caller on the way up says what it was making
    (``while_making``), and the last one writes all lengths in the builder's units (``told``).
    """

    def __init__(self, text: str, *lengths: float, at: float | None = None) -> None:
        self.text = text  # with a {} for each length, if there are any
        self.lengths = lengths  # mm
        self.at = at  # mm from FP, where it shows
        super().__init__(self.told(lambda length: f"{length:.1f} mm"))

    def told(self, write: Callable[[float], str]) -> str:
        """The message, its lengths written by the function given."""
        words = self.text.format(*(write(length) for length in self.lengths)) if self.lengths else self.text
        return words if self.at is None else f"{words} ({write(self.at)} from FP)"


class UnknownNameError(PatternsError, KeyError):
    """A name that nothing has, with the names that are most like it."""

    def __init__(self, kind: str, name: str, names: Iterable[str]) -> None:
        self.name = name
        self.near = _near(name, tuple(names))
        known = ", ".join(f"'{one}'" for one in self.near)
        super().__init__(f"{kind}: found '{name}', expected {'one such as ' if len(self.near) > 1 else ''}{known}")

    def __str__(self) -> str:
        return str(self.args[0])  # a KeyError's own would be in quotes


def _near(name: str, names: Sequence[str]) -> tuple[str, ...]:
    """Of many names, those that begin with this one and those spelt most like it; all of a few."""
    from difflib import get_close_matches  # only needed when something is wrong

    begun = [one for one in names if one.startswith(name)]
    near = tuple(dict.fromkeys((*begun, *get_close_matches(name, names, n=4, cutoff=0.5))))[:MOST_NEAR]
    return near or tuple(names[:MOST_NEAR])


@contextmanager
def while_making(part: str) -> Iterator[None]:
    """Set the name of a part, or of a place on it, before whatever goes wrong within."""
    try:
        yield
    except ShapeError as error:
        name = part.replace("{", "{{").replace("}", "}}") if error.lengths else part
        raise type(error)(f"{name}: {error.text}", *error.lengths, at=error.at) from error
