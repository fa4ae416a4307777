"""What ``scrieve loft`` says of a job at its end: what it warns of, what it wrote."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from patterns.cli.screen import INDENT, WARNING, paragraph
from patterns.parts.cautions import Caution
from patterns.parts.whole import Job
from patterns.writing.book.job_book import grouped

FIRST = ("book.html", "book.pdf")  # of what was written, what to look at first


def warnings_in_words(warnings: Sequence[Caution]) -> Iterator[str]:
    """Each warning once, with every place it is about."""
    return (paragraph(WARNING, f"{where}: {text}") for where, text in grouped(warnings))


def tell_warnings(warnings: Sequence[Caution]) -> None:
    """Print each warning once."""
    for words in warnings_in_words(warnings):
        print(words)


def tell_written(job: Job, folder: Path, files: Iterable[str]) -> None:
    files = sorted(files)
    loose = [name for name in files if "/" not in name and name not in FIRST]
    print(f"Wrote  {len(job.parts)} patterns as {len(files)} files to {folder}:")
    for name in [*(name for name in FIRST if name in files), *loose, *(n for n in files if n.startswith("paper/"))]:
        print(f"{INDENT}{name}{'  read this first' if name == FIRST[0] else ''}")
    print(f"{INDENT}svg/, router/, tables/: files of each part, linked from {FIRST[0]}")
    print(
        "Print at 100 % and check both bars on a page with a rule before you cut. The\n"
        "program gives shapes, not strength or stability: follow local codes and a\n"
        "licensed professional."
    )
