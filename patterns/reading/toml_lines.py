"""On which line of a TOML file a key stands: the standard reader does not say."""

from __future__ import annotations

import re

Path = tuple[str | int, ...]

_HEADING = re.compile(r"\s*(\[\[?)\s*([^\]]+?)\s*\]\]?\s*(?:#.*)?")
_KEY = re.compile(r"""\s*((?:[\w-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[\w-]+|"[^"]*"|'[^']*'))*)\s*=""")
_PART = re.compile(r"""[\w-]+|"[^"]*"|'[^']*'""")


def key_lines(text: str) -> dict[Path, int]:
    """Line of each heading and key by its path, counted from 1.

    Tables of an array carry their number from 0: ``("thwart", 1, "width")``. Keys inside an inline table are not
    found; `line_of` then gives the line of the key the inline table belongs to.
    """
    lines: dict[Path, int] = {}
    counts: dict[Path, int] = {}
    table: Path = ()
    for number, line in enumerate(text.splitlines(), start=1):
        if heading := _HEADING.fullmatch(line):
            table = _parts(heading[2])
            if heading[1] == "[[":
                counts[table] = counts.get(table, -1) + 1
                table = (*table, counts[table])
            _add(lines, table, 0, number)
        elif key := _KEY.match(line):
            _add(lines, table + _parts(key[1]), len(table), number)
    return lines


def line_of(lines: dict[Path, int], path: Path) -> int | None:
    """The line of a path, or of the nearest table or key above it; None where not even that is in the file."""
    for length in range(len(path), 0, -1):
        if path[:length] in lines:
            return lines[path[:length]]
    return None


def _add(lines: dict[Path, int], path: Path, above: int, number: int) -> None:
    """Note a path and those above it, where they are not noted yet."""
    for length in range(above + 1, len(path) + 1):
        lines.setdefault(path[:length], number)


def _parts(name: str) -> Path:
    return tuple(part.strip("\"'") for part in _PART.findall(name))
