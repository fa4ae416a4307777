"""Boards of the yard that are listed twice, or that no yard has."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from patterns.errors import Problem
from patterns.parts.materials import plain
from patterns.reading.toml.boat_tables import BoatToml
from patterns.reading.toml.faults import cell
from patterns.reading.toml.toml_lines import Path
from patterns.reading.toml.yard_tables import YardTable, yard_boards
from patterns.units.lengths import INCH, write_length

# No yard sells boards beyond these; judgement of this program.
LONGEST, WIDEST, THICKEST = 480 * INCH, 40 * INCH, 12 * INCH  # mm


def faults_of_yard(toml: BoatToml, file: str, lines: Mapping[Path, int], show: str) -> Iterator[Problem]:
    """Every size that is listed again, and every one out of all proportion."""
    first: dict[tuple[str, float, float, float, float], int] = {}
    for n, table in enumerate((toml.stock.yard or []) if toml.stock else []):
        path: Path = ("stock", "yard", n)
        yield from _absurd(table, path, file, lines, show)
        again: dict[int, str] = {}
        for board in yard_boards([table]):
            sizes = (round(mm, 1) for mm in (board.thickness, board.dressed, board.width, board.length))
            thick, dressed, wide, long = sizes
            seen = first.setdefault((plain(board.material), thick, dressed, wide, long), n)
            if seen != n:
                across, along = write_length(board.width, show), write_length(board.length, show)
                again.setdefault(seen, f"{across} x {along} of {board.material}")
        for seen, size in again.items():
            expected = f"each size once: [stock] yard {seen + 1} lists it already. Take it out of one of them"
            yield Problem(cell(file, lines, path), f"{size} again", expected)


def _absurd(table: YardTable, path: Path, file: str, lines: Mapping[Path, int], show: str) -> Iterator[Problem]:
    def told(key: str, found: float, expected: str) -> Problem:
        return Problem(cell(file, lines, (*path, key)), write_length(found, show), expected)

    sizes = (
        ("lengths", max(table.lengths), LONGEST),
        ("widths", max(table.widths), WIDEST),
        ("thickness", table.thickness, THICKEST),
    )
    too_large = [(key, size, most) for key, size, most in sizes if size > most]
    for key, size, most in too_large:
        yield told(key, size, f"at most {write_length(most, show)}: check its unit")
    if too_large:
        return
    if min(table.lengths) <= max(table.widths):
        yield told(
            "lengths", min(table.lengths), f"more than the widths, up to {write_length(max(table.widths), show)}"
        )
    if table.thickness > min(table.widths):
        yield told("thickness", table.thickness, f"at most the least width, {write_length(min(table.widths), show)}")
