"""``scrieve new``: a boat folder to fill in."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import TypeVar

from patterns.cli.commands import HULLS as KINDS
from patterns.cli.commands import MOST_STATIONS, UNITS
from patterns.errors import InputError, PatternsError, Problem
from patterns.hull.build import LinesTo
from patterns.job.new_boat import HULLS, NewBoat, blanks_in, new_boat, plain_name
from patterns.reading.offsets.laid_out import BLANK
from patterns.reading.wording import one_of
from patterns.units.lengths import Written, read_written

HULL, UNIT, STATIONS = "flat", "in", 6  # where nothing is said and nobody is asked
BASE = "base"
DATUMS = (BASE, "base-above", "water-line")
A_DATUM = "base, base-above=LENGTH or water-line=LENGTH, each with its height above base, such as water-line=0-7-4"
_Answer = TypeVar("_Answer")


def start_boat(
    folder: Path,
    *,
    hull: str | None,
    units: str | None,
    stations: int | None,
    spacing: str | None,
    lines_to: str | None,
    heights_from: str | None,
    full: bool,
) -> None:
    """Write boat.toml and a table to fill in; nothing that is there already is touched.

    On a terminal, what no option says is asked for.

    Raises
    ------
    PatternsError
        An option that cannot be read, a folder that holds a boat already, or one that cannot be written.
    """
    _refuse_taken(folder)
    ask = _asked if sys.stdin.isatty() and sys.stdout.isatty() else _unasked
    kind = HULLS[hull or ask(QUESTION_HULL, _kind, HULL)]
    unit = units or ask(QUESTION_UNITS, _unit, UNIT)
    boat = NewBoat(
        plain_name(Path(os.path.abspath(folder)).name),
        kind,
        unit,
        stations or ask(QUESTION_STATIONS, _count, STATIONS),
        _option("--spacing", spacing, lambda text: _spacing(text, unit))
        or ask(QUESTION_SPACING, lambda text: _spacing(text, unit), None),
        LinesTo.INSIDE if kind.lapped else _lines_to(lines_to) or ask(QUESTION_LINES, _lines_to, None),
        _option("--heights-from", heights_from, lambda text: _datum(text, unit))
        or ask(QUESTION_HEIGHTS, lambda text: _datum(text, unit), None),
        full,
    )
    files = new_boat(boat)
    _write_new(folder, files)
    print(f"Wrote  {' and '.join(files)} to {folder}, for a hull with {kind.about}.")
    print(f"Next   Type the plan's figures into both files, one for each of the {blanks_in(files)} {BLANK} in them.")
    print(f"       Then look at the lines: scrieve fair {folder}")


QUESTION_HULL = "What kind of hull? " + ", ".join(KINDS)
QUESTION_UNITS = f"What are the plan's bare numbers in? {', '.join(UNITS)}"
QUESTION_STATIONS = "How many stations stand between the ends?"
QUESTION_SPACING = "How far apart are the stations? Enter if not evenly"
QUESTION_LINES = "Which face of the planking do the lines give? outside, inside, or Enter to look it up"
QUESTION_HEIGHTS = (
    "What are heights measured from? Enter for base, or base-above=LENGTH (they run down), water-line=LENGTH"
)


def _asked(question: str, read: Callable[[str], _Answer], default: _Answer) -> _Answer:
    """The answer to a question, asked until it can be read; Enter takes the default."""
    shown = f" [{default}]" if default is not None else ""
    while True:
        try:
            answer = input(f"{question}{shown}: ").strip()
        except EOFError:
            raise KeyboardInterrupt from None  # Ctrl-D stops like Ctrl-C
        if not answer:
            return default
        try:
            return read(answer)
        except ValueError as expected:
            print(f"  found '{answer}', expected {expected}")


def _unasked(question: str, read: Callable[[str], _Answer], default: _Answer) -> _Answer:
    """Without a terminal nobody is asked."""
    return default


def _option(name: str, text: str | None, read: Callable[[str], _Answer]) -> _Answer | None:
    if text is None:
        return None
    try:
        return read(text)
    except ValueError as expected:
        raise InputError([Problem(name, f"'{text}'", str(expected))]) from None


def _kind(text: str) -> str:
    return _one_of(text, KINDS)


def _unit(text: str) -> str:
    return _one_of(text, UNITS)


def _one_of(text: str, words: tuple[str, ...]) -> str:
    if text.lower() not in words:
        raise ValueError(one_of(words, text))
    return text.lower()


def _count(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= MOST_STATIONS:
        raise ValueError(f"a whole number from 1 to {MOST_STATIONS}")
    return int(text)


def _spacing(text: str, unit: str) -> Written:
    written = read_written(text, unit)
    if written.mm <= 0:
        raise ValueError("a length of more than 0")
    return written


def _lines_to(text: str | None) -> LinesTo | None:
    if text is None:
        return None
    return {"outside": LinesTo.OUTSIDE, "inside": LinesTo.INSIDE}[_one_of(text, ("outside", "inside"))]


def _datum(text: str, unit: str) -> tuple[str, str] | None:
    name, _, above = (part.strip() for part in text.lower().partition("="))
    if name not in DATUMS or bool(above) is (name == BASE):
        raise ValueError(A_DATUM)
    if name == BASE:
        return None
    if read_written(above, unit).mm <= 0:
        raise ValueError("how far above base it lies, more than 0")
    return name.replace("-", "_"), above


def _refuse_taken(folder: Path) -> None:
    """Before anything is asked: nothing is ever written over."""
    for name in ("boat.toml", "offsets.csv"):
        if os.path.lexists(folder / name):
            raise PatternsError(f"{folder / name}: is there already, and nothing is overwritten; name another folder")


def _write_new(folder: Path, files: Mapping[str, str]) -> None:
    """Every file or none, and never over one that is there."""
    written: list[Path] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in files.items():
            with (folder / name).open("x", encoding="utf-8", newline="") as file:
                written.append(folder / name)
                file.write(text)
    except FileExistsError as error:
        _take_back(written)
        if folder.is_dir():
            told = f"{error.filename}: is there already, and nothing is overwritten; name another folder"
        else:
            told = f"{folder}: is a file, expected a folder for the boat"
        raise PatternsError(told) from None
    except (OSError, ValueError) as error:
        _take_back(written)
        raise PatternsError(f"{folder}: cannot be written ({getattr(error, 'strerror', None) or error})") from error


def _take_back(written: list[Path]) -> None:
    for path in written:
        with suppress(OSError):
            path.unlink()
