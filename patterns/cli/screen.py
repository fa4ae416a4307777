"""What a long command shows while it works: each stage by name, and what it says between them."""

from __future__ import annotations

import io
import sys
import textwrap
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stdout
from typing import TextIO

from patterns.units.lengths import kept_whole

WIDE = 80  # characters, of the narrowest terminal in use
INDENT = " " * 7
WARNING = "WARNING"


class Screen(io.TextIOBase):
    """Standard output of a command. On a terminal a stage's name stands till the next thing is said, else it is a line.

    Quiet, nothing is shown but warnings.
    """

    def __init__(self, out: TextIO, *, quiet: bool = False) -> None:
        self._out, self._quiet = out, quiet
        self._standing = False  # whether a stage's name stands on the terminal's last line
        self._warning = False  # whether the paragraph being written is one

    def stage(self, words: str) -> None:
        """Name the work that begins now."""
        if self._quiet:
            return
        self._clear()
        self._standing = self._out.isatty()
        self._out.write(f"{words} ..." if self._standing else f"{words} ...\n")
        self._out.flush()

    def write(self, text: str) -> int:
        self._clear()
        if not self._quiet:
            return self._out.write(text)
        for line in text.splitlines(keepends=True):
            self._warning = line.startswith(WARNING) or (self._warning and line[:1] in (" ", "\n"))
            if self._warning:
                self._out.write(line)
        return len(text)

    def flush(self) -> None:
        self._out.flush()

    def isatty(self) -> bool:
        return self._out.isatty()

    def _clear(self) -> None:
        if self._standing:
            self._out.write("\r\x1b[K")  # to the line's beginning, and blank it: every terminal knows both
            self._standing = False


@contextmanager
def screen(*, quiet: bool) -> Iterator[Screen]:
    """All that is printed within goes over this screen."""
    shown = Screen(sys.stdout, quiet=quiet)
    with redirect_stdout(shown):
        try:
            yield shown
        finally:
            shown._clear()


def paragraph(first: str, text: str) -> str:
    """Words after a heading such as ``Read``, in lines no wider than a terminal, set in under each other."""
    return "\n".join(in_rows(f"{first:<6} {text}", WIDE, under=INDENT, whole_words=True))


def in_rows(text: str, width: int, *, first: str = "", under: str = "", whole_words: bool = False) -> list[str]:
    """Words in lines of so many letters, none ending within a length; ``first`` and ``under`` set the lines in."""
    rows = textwrap.wrap(
        kept_whole(text),
        width,
        initial_indent=first,
        subsequent_indent=under,
        break_on_hyphens=not whole_words,
        break_long_words=not whole_words,
    )
    return [row.replace("\N{NO-BREAK SPACE}", " ") for row in rows]
