"""What ``scrieve loft`` says of a job at its end: what it warns of, what it made, what to do next."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from patterns.cli.screen import WARNING, Screen, paragraph
from patterns.parts.cautions import Caution
from patterns.writing.book.job_book import grouped

BOOK = "book.html"
NEXT = (
    "Print at 100 %. Check both bars on a page with a steel rule.",
    "The program gives shapes, not strength or stability: follow local codes and a licensed professional.",
)


def warnings_in_words(warnings: Sequence[Caution]) -> Iterator[str]:
    """Each warning once, with every place it is about."""
    return (paragraph(WARNING, f"{where}: {text}") for where, text in grouped(warnings))


def tell_warnings(warnings: Sequence[Caution], terminal: Screen) -> None:
    """Each warning once, on standard error."""
    for words in warnings_in_words(warnings):
        terminal.warn(words)


def tell_written(patterns: int, files: int, folder: Path) -> None:
    """How much was made, and where it is."""
    print(paragraph("Made", f"{patterns} patterns, {files} files in {folder}"))


def tell_next(folder: Path) -> None:
    """What the builder does now."""
    print(paragraph("Next", f"Open {folder / BOOK}"))
    for words in NEXT:
        print(paragraph("", words))
