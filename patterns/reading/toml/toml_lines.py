"""On which line of a TOML file a key stands: the standard reader does not say."""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_left
from dataclasses import dataclass, field

Path = tuple[str | int, ...]

_BETWEEN = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")  # blanks, line ends and comments
_KEY = re.compile(r"""[A-Za-z0-9_-]+|"(?:[^"\\\n]|\\.)*"|'[^'\n]*'""")
_DOT = re.compile(r"[ \t]*\.[ \t]*")
_STRING = re.compile(
    r'"{3}(?:[^"\\]|\\.|"(?!""))*"{3,5}'
    r"|'{3}(?:[^']|'(?!''))*'{3,5}"
    r'|"(?:[^"\\\n]|\\.)*"'
    r"|'[^'\n]*'",
    re.DOTALL,
)
_BARE = re.compile(r"[^,\]}#\r\n]+")  # a number, a date, true or false


def key_lines(text: str) -> dict[Path, int]:
    """Line of each heading, key and item of a list by its path, counted from 1.

    Tables of an array and items of a list carry their number from 0: ``("thwart", 1, "width")``.

    Parameters
    ----------
    text : str
        TOML that the standard reader has read without a fault.
    """
    return _Scan(text).whole()


def line_of(lines: dict[Path, int], path: Path) -> int | None:
    """The line of a path, or of the nearest table or key above it; None where not even that is in the file."""
    for length in range(len(path), 0, -1):
        if path[:length] in lines:
            return lines[path[:length]]
    return None


@dataclass(slots=True)
class _Scan:
    """A walk through the text, one step a key, a heading or a value; what stands inside a string is passed over."""

    text: str
    at: int = 0
    lines: dict[Path, int] = field(default_factory=dict)
    last: dict[Path, int] = field(default_factory=dict)  # the number of an array's last table
    ends: list[int] = field(default_factory=list)  # where each line ends

    def whole(self) -> dict[Path, int]:
        self.ends = [place for place, letter in enumerate(self.text) if letter == "\n"]
        table: Path = ()
        self.over(_BETWEEN)
        while self.at < len(self.text):
            if self.text[self.at] == "[":
                table = self.heading()
            else:
                self.pair(table)
            self.over(_BETWEEN)
        return self.lines

    def heading(self) -> Path:
        """Pass over ``[table]`` or ``[[table]]`` and give the table's path."""
        begun, double = self.at, self.text.startswith("[[", self.at)
        self.at += 2 if double else 1
        table: Path = ()
        names = self.names()
        for place, name in enumerate(names, start=1):
            table = (*table, name)
            if double and place == len(names):
                self.last[table] = self.last.get(table, -1) + 1
            if table in self.last:
                table = (*table, self.last[table])
        self.at += 2 if double else 1
        self.note(table, 0, begun)
        return table

    def pair(self, table: Path) -> None:
        """Pass over ``key = value``."""
        begun = self.at
        key = (*table, *self.names())
        self.note(key, len(table), begun)
        self.at += 1  # the equals sign
        self.value(key)

    def names(self) -> Path:
        """Pass over a key, dotted or not, up to what follows it."""
        self.over(_BETWEEN)
        names = [_plain(self.over(_KEY))]
        while self.over(_DOT):
            names.append(_plain(self.over(_KEY)))
        self.over(_BETWEEN)
        return tuple(names)

    def value(self, path: Path) -> None:
        self.over(_BETWEEN)
        match self.text[self.at]:
            case "[":
                self.array(path)
            case "{":
                self.inline_table(path)
            case '"' | "'":
                self.over(_STRING)
            case _:
                self.over(_BARE)

    def array(self, path: Path) -> None:
        count = 0
        while self.step_to("]"):
            self.note((*path, count), len(path), self.at)
            self.value((*path, count))
            count += 1

    def inline_table(self, path: Path) -> None:
        while self.step_to("}"):
            self.pair(path)

    def step_to(self, closing: str) -> bool:
        """Pass over the bracket or comma before the next item; False where the closing bracket came, passed over."""
        self.over(_BETWEEN)
        if self.text[self.at] != closing:
            self.at += 1
            self.over(_BETWEEN)
        if self.text[self.at] == closing:
            self.at += 1
            return False
        return True

    def over(self, what: re.Pattern[str]) -> str:
        """Pass over what stands here, and give it; nothing where something else does."""
        found = what.match(self.text, self.at)
        self.at = found.end() if found else self.at
        return found[0] if found else ""

    def note(self, path: Path, above: int, place: int) -> None:
        """Note the line of a path and those above it, where they are not noted yet."""
        line = bisect_left(self.ends, place) + 1
        for length in range(above + 1, len(path) + 1):
            self.lines.setdefault(path[:length], line)


def _plain(key: str) -> str:
    """A key without its quotes."""
    if key.startswith("'"):
        return key[1:-1]
    return str(tomllib.loads(f"key = {key}")["key"]) if key.startswith('"') else key
