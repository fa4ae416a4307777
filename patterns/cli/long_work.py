"""What is said of long pieces at the bench, and their sheets."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

import numpy as np

from patterns.parts.cautions import Caution
from patterns.shop.long_bench import BenchPiece, bench_cautions
from patterns.units.lengths import shown_step, write_length

WIDE = 80  # columns of a terminal
UNDER = " " * 7


def cautions_of_bench(made: Sequence[BenchPiece]) -> tuple[Caution, ...]:
    return tuple(Caution(where, text) for where, text in bench_cautions(made))


def tell_bench(made: Sequence[BenchPiece], show: str) -> None:
    """A paragraph for each long piece: how it bends, what it is sawn from, and at what tilts."""
    for one in (one for one in made if one.piece.part.hand != "starboard"):
        words = f"{one.piece.name}: {' '.join(_told(one, show))}"
        print("Bench  " + textwrap.fill(words, WIDE - len(UNDER), subsequent_indent=UNDER))


def _told(one: BenchPiece, show: str) -> list[str]:
    bend = one.bend
    told = [f"{bend.way.value}"]
    if np.isfinite(bend.flat_radius):
        told[0] += f" (radius {write_length(bend.flat_radius, show)}, {bend.flat_ratio:.0f} thicknesses)"
    told[0] += ";"
    if one.setup:
        tilts = [float(np.degrees(rip.setting.tilt)) for rip in one.setup.rips]
        rips = [f"{rip.edge.name} edge at {tilt:.1f}°" for rip, tilt in zip(one.setup.rips, tilts, strict=True)]
        told.append(f"rip {', then '.join(rips)};" if any(tilts) else "rip both edges square;")
    told.append(_board(one, show))
    return told


def _board(one: BenchPiece, show: str) -> str:
    if one.place:
        hands = ", both hands" if one.place.pair is not None else ""
        grain = f"grain 1 in {one.place.one_in:.0f}" if np.isfinite(one.place.one_in) else "grain straight"
        return f"from board {one.place.number}{hands}, {grain}."
    size = " by ".join(_no_less(mm, show) for mm in (one.least.length, one.least.width, one.least.thickness))
    scarfs = f" in {len(one.scarfs.boards)} lengths scarfed" if one.scarfs else ""
    return f"wants a board of {size}{scarfs}."


def _no_less(mm: float, show: str) -> str:
    """A length as printed, rounded up: a board must be no less."""
    step = shown_step(show)
    return write_length(np.ceil(mm / step - 1e-6) * step, show)
