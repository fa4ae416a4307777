"""What a long command shows while it works, and where its words go: warnings to standard error, all else to output."""

from __future__ import annotations

import io
import os
import shutil
import sys
import textwrap
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stdout
from typing import Protocol, TextIO

from patterns.units.lengths import kept_whole

WIDE = 80  # characters, of the narrowest terminal in use
NARROWEST, WIDEST = 40, 100  # characters; longer rows are hard to read, however wide the terminal
INDENT = " " * 7
WARNING = "WARNING"


class Screen(io.TextIOBase):
    """Standard output of a command while it works.

    On a terminal a bar shows how far the work is, and counts; it stands on standard error and gives way to words. Else
    each stage is a plain line of output. Quiet, neither is shown and nothing but warnings is said.
    """

    def __init__(self, out: TextIO, errors: TextIO, *, quiet: bool = False, verbose: bool = False) -> None:
        self._out, self._errors, self._quiet = out, errors, quiet
        self.verbose = verbose
        self._bar: _Bar | None = None
        self._words, self._step, self._steps = "", 0, 0
        self._shows_bar = moves_its_cursor(errors) and not quiet

    def stages(self, count: int) -> None:
        """How many stages the work has."""
        self._steps = count

    def stage(self, words: str) -> None:
        """Name the work that begins now."""
        self._step += 1
        self._words = f"{self._step}/{self._steps} {words}" if self._steps else words
        self.clear()
        if self._shows_bar:
            self._bar = _bar(self._errors, f"{self._words} ...")
        elif not self._quiet:
            self._out.write(f"{self._words} ...\n")
            self._out.flush()

    def count(self, done: int, of: int) -> None:
        """How far this stage is."""
        if not self._shows_bar:
            return
        if self._bar is None or self._bar.total != of:
            self.clear()
            self._bar = _bar(self._errors, self._words, of)
        self._bar.n = done
        self._bar.refresh()

    def warn(self, text: str) -> None:
        """Say what may go wrong, on standard error, also where nothing else is said."""
        self.clear()
        self._out.flush()  # so that both streams come in their order where they go to one place
        print(text, file=self._errors, flush=True)

    def write(self, text: str) -> int:
        self.clear()
        return len(text) if self._quiet else self._out.write(text)

    def flush(self) -> None:
        self._out.flush()

    def isatty(self) -> bool:
        return self._out.isatty()

    def clear(self) -> None:
        """Take the bar away."""
        if self._bar is not None:
            self._bar.close()
            self._bar = None


class _Bar(Protocol):
    """What is used of a bar of tqdm."""

    n: int
    total: int | None

    def refresh(self) -> object: ...

    def close(self) -> object: ...


def _bar(errors: TextIO, words: str, of: int | None = None) -> _Bar:
    """A bar with counts; words alone where nothing is counted."""
    # Here, so that only a terminal waits for it.
    from tqdm import tqdm

    tqdm.monitor_interval = 0  # no thread beside the work: processes are begun from this one
    shape = "{desc} |{bar}| {n_fmt} of {total_fmt}" if of else "{desc}"
    bar: _Bar = tqdm(total=of, desc=words, file=errors, leave=False, ncols=width(), bar_format=shape, mininterval=0)
    return bar


def moves_its_cursor(stream: TextIO) -> bool:
    """Whether a stream is a terminal that can go back to the beginning of a line."""
    return stream.isatty() and os.environ.get("TERM", "") != "dumb"


def width() -> int:
    """Characters in a row: as COLUMNS or the terminal has it, within reason."""
    return min(max(shutil.get_terminal_size((WIDE, 24)).columns, NARROWEST), WIDEST)


@contextmanager
def screen(*, quiet: bool, verbose: bool = False) -> Iterator[Screen]:
    """All that is printed within goes over this screen."""
    shown = Screen(sys.stdout, sys.stderr, quiet=quiet, verbose=verbose)
    with redirect_stdout(shown):
        try:
            yield shown
        finally:
            shown.clear()


def paragraph(first: str, text: str) -> str:
    """Words after a heading such as ``Read``, in lines no wider than the terminal, set in under each other."""
    return "\n".join(in_rows(f"{first:<6} {text}", width(), under=INDENT, whole_words=True))


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
