"""What is said of long pieces at the bench: how each bends, how it is ripped, what it is sawn from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from patterns.job.told import AtSaw
from patterns.parts.cautions import Caution
from patterns.parts.part import Part
from patterns.plates.words.board_words import stock_size
from patterns.shop.saw.long_bench import BenchPiece, bench_cautions
from patterns.units.lengths import write_length


def cautions_of_bench(worked: Sequence[BenchPiece], show: str) -> tuple[Caution, ...]:
    """What the saw or the boards cannot do."""
    return tuple(Caution(where, text) for where, text in bench_cautions(worked, show))


def with_verdicts(parts: Sequence[Part], worked: Sequence[BenchPiece], show: str) -> tuple[Part, ...]:
    """The parts, each long piece's pattern saying how it is to be bent."""
    said = {one.piece.part.title: f"Bending: {_verdict(one, show)}." for one in worked}
    return tuple(
        replace(part, remarks=(*part.remarks, said[part.title])) if part.title in said else part for part in parts
    )


def at_saw(worked: Sequence[BenchPiece], show: str) -> Iterator[AtSaw]:
    """Of every long piece; of a port and starboard pair once."""
    for one in worked:
        if one.piece.part.hand != "starboard":
            yield AtSaw(one.piece.name, _verdict(one, show), _rips(one), _stock(one, show))


def _rips(one: BenchPiece) -> tuple[tuple[str, float], ...]:
    rips = one.setup.rips if one.setup else ()
    return tuple((rip.edge.name, float(np.degrees(rip.setting.tilt))) for rip in rips)


def _verdict(one: BenchPiece, show: str) -> str:
    bend = one.bend
    if not np.isfinite(bend.flat_radius):
        return bend.way.value
    return f"{bend.way.value} (radius {write_length(bend.flat_radius, show)}, {bend.flat_ratio:.0f} thicknesses)"


def _stock(one: BenchPiece, show: str) -> str:
    if one.place:
        twin = one.place.pair is not None or any(other.name == one.piece.name for other in one.beside)
        pair = ", port and starboard" if twin else ""
        grain = f"grain 1 in {one.place.one_in:.0f}" if np.isfinite(one.place.one_in) else "grain straight"
        return f"from board {one.place.number}{pair}, {grain}."
    scarfs = f" in {len(one.scarfs.boards)} lengths of board {one.lengths_of}, scarfed" if one.scarfs else ""
    scarfs += f", {len(one.missing)} more than you have left" if one.missing else ""
    return f"needs stock of {stock_size(one, show)}{scarfs}."
