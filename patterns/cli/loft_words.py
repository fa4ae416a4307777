"""What ``scrieve loft`` says of a job: what it moved, what it warns of, what it wrote."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

import numpy as np

from patterns.cli.screen import INDENT, WARNING, paragraph
from patterns.hull.fairing import FairedView
from patterns.parts.cautions import Caution
from patterns.parts.whole import Job
from patterns.units.lengths import write_length
from patterns.writing.book.job_book import grouped

FIRST = ("book.html", "book.pdf")  # of what was written, what to look at first


def tell_moves(job: Job) -> None:
    """Every movement over a printable step, in the builder's units; the rest is in job.json."""
    show = job.boat.show
    print(f"Faired within {write_length(job.boat.fair_within, show)}; moved:")
    for name, word, view in _views(job):
        told = [
            f"{column} {'+' if moved > 0 else '-'}{write_length(abs(moved), show)}"
            for column, moved in zip(view.columns, view.moved, strict=True)
            if write_length(abs(moved), show) != write_length(0.0, show)
        ]
        words = ", ".join(told) if told else _too_little(float(np.abs(view.moved).max()))
        print(paragraph("", f"{name} {word}: {words}"))


def _too_little(most: float) -> str:
    """Moves that no figure of the bench would show."""
    return f"nothing to measure, {most:.2f} mm at most" if most >= 0.005 else "nothing"


def _views(job: Job) -> Iterator[tuple[str, str, FairedView]]:
    for line in job.lines:
        yield line.name, "heights", line.height
        yield line.name, "half-breadths", line.half_breadth
    for cut in job.cuts:
        yield cut.name, "as cut", cut.view


def tell_warnings(warnings: Sequence[Caution]) -> None:
    """Each warning once, with every place it is about."""
    for where, text in grouped(warnings):
        print(paragraph(WARNING, f"{where}: {text}"))


def tell_written(job: Job, folder: Path, files: Iterable[str]) -> None:
    files = sorted(files)
    loose = [name for name in files if "/" not in name and name not in FIRST]
    print(f"Wrote  {len(job.parts)} patterns as {len(files)} files to {folder}:")
    for name in [*(name for name in FIRST if name in files), *loose, *(n for n in files if n.startswith("paper/"))]:
        print(f"{INDENT}{name}{'  read this first' if name == FIRST[0] else ''}")
    print(f"{INDENT}svg/, router/, tables/: files of each part, linked from {FIRST[0]}")
    print(
        "Print at 100 % and check both bars on a sheet with a rule before you cut. The\n"
        "program gives shapes, not strength or stability: follow local codes and a\n"
        "licensed professional."
    )
