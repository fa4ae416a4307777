"""All the bench work of a boat's long pieces, each with what the builder has to make it with."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from patterns.errors import while_making
from patterns.geometry.arrays import Floats
from patterns.geometry.short_repr import brief
from patterns.parts.long.long_pieces import LongPiece
from patterns.shop.saw.bend_verdict import BendVerdict, bend_verdict
from patterns.shop.saw.board_layout import BoardPlace, LeastBoard, least_board
from patterns.shop.saw.board_stock import BoardStock, Lack, Refusal
from patterns.shop.saw.envelopes import Envelope, envelope
from patterns.shop.saw.saw_rules import KERF, BenchRules, SawRules
from patterns.shop.saw.saw_setup import MUCH, Rip, SawSetup, saw_setup
from patterns.shop.saw.scarfs import Scarf, ScarfPlan, scarf_plan
from patterns.units.lengths import write_length, write_small


@dataclass(frozen=True, slots=True, eq=False)
class Neighbour:
    """Another piece out of the same board, as that board is laid."""

    name: str  # whichever hand it is of
    title: str
    ring: Floats  # (n, 2) mm


@dataclass(frozen=True, slots=True, eq=False)
class BenchPiece:
    """One piece of one hand on its way from board to boat."""

    piece: LongPiece
    bend: BendVerdict
    setup: SawSetup | None  # None where the builder names no saw
    takes: Envelope
    least: LeastBoard
    place: BoardPlace | None  # on one of the builder's boards; None where none will do
    with_other: BenchPiece | None  # the other hand, beside which it comes out of one board
    scarfs: ScarfPlan | None  # where every board that would do is too short
    lengths_of: int | None  # the number of the board that is scarfed
    missing: tuple[float, ...]  # mm, lengths to be scarfed for which none of it is left
    refused: tuple[Refusal, ...]  # the builder's boards, where none will do
    beside: tuple[Neighbour, ...] = ()

    __repr__ = brief

    @property
    def title(self) -> str:
        return self.piece.part.title


def bench(pieces: Sequence[LongPiece], rules: BenchRules) -> tuple[BenchPiece, ...]:
    """Every long piece, in order; boards are used up as they are laid out."""
    stock = BoardStock(rules.boards, rules.saw.kerf if rules.saw else KERF)
    made: list[BenchPiece] = []
    for piece in pieces:
        other = next((one for one in made if one.piece.name == piece.name), None)
        with while_making(piece.part.title):
            made.append(_bench_piece(piece, rules, stock, other))
    placed = {one.title: replace(one, beside=tuple(_on_the_same_board(one, made))) for one in made}
    return tuple(
        replace(one, with_other=placed[one.with_other.title]) if one.with_other else one for one in placed.values()
    )


def _bench_piece(piece: LongPiece, rules: BenchRules, stock: BoardStock, other: BenchPiece | None) -> BenchPiece:
    setup = saw_setup(piece, rules.saw) if rules.saw else None
    takes = envelope(piece, setup, holding=rules.holding, kerf=stock.kerf)
    least = least_board(piece, takes)
    with_other = other if other and other.place and other.place.pair is not None else None
    place = None if with_other else stock.place(piece, takes, first=other is None)
    laid = place or (with_other.place if with_other else None)
    short = None if place or with_other else stock.longest(piece, least)
    taken: tuple[Scarf, ...] = other.scarfs.scarfs if other and other.scarfs else ()
    scarfs = scarf_plan(piece, short[1].length, rules.scarf, taken) if short else None
    return BenchPiece(
        piece=piece,
        bend=bend_verdict(piece, laid.slope if laid else 1 / least.one_in, rules.moisture),
        setup=setup,
        takes=takes,
        least=least,
        place=place,
        with_other=with_other,
        scarfs=scarfs,
        lengths_of=short[0] if short and scarfs else None,
        missing=stock.take_lengths(short[0], scarfs) if short and scarfs else (),
        refused=() if place or with_other else tuple(stock.refusals(piece, takes, least)),
    )


def _on_the_same_board(one: BenchPiece, made: Sequence[BenchPiece]) -> Iterator[Neighbour]:
    """Other pieces whose outlines the builder finds on the board of one."""
    place = one.place
    for other in made:
        if place and other is not one and other.place and other.place.same_board == place.same_board:
            ring = np.concatenate([other.takes.ring(), other.takes.ring()[:1]])
            laid = place.measured(other.place.measured(other.place.laid(ring)))
            yield Neighbour(other.piece.name, other.title, laid)


def bench_cautions(made: Sequence[BenchPiece], show: str) -> Iterator[tuple[str, str]]:
    """Where and what, of all that should not be found out at the saw; both hands of a piece in one."""
    for one in made:
        if one.piece.part.hand == "starboard":
            continue
        if one.setup:
            yield from _saw_cautions(one.setup, show)
        yield from _holding_cautions(one, show)


def _saw_cautions(setup: SawSetup, show: str) -> Iterator[tuple[str, str]]:
    for rip in setup.rips:
        where = f"saw, {setup.piece.name}, {rip.edge.name} edge"
        if rip.short:
            yield where, short_words(rip, setup.saw)
        if rip.much:
            yield where, much_words(setup, rip, show)
        if rip.setting.blade.too_deep:
            yield where, "the blade does not come through stock of this thickness at this tilt."
        elif not rip.setting.blade.follows:
            yield where, "the blade cannot follow this curve through the whole thickness; see its page."


def _holding_cautions(one: BenchPiece, show: str) -> Iterator[tuple[str, str]]:
    """Boards that hold the piece and its kerfs, and leave nothing to hold them by."""
    for refused in one.refused:
        if refused.lack is Lack.HOLDING:
            has, needs = write_small(refused.has, show), write_length(refused.wants, show)
            yield (
                f"[stock] boards, board {refused.number}",
                f"{one.piece.name} leaves {has} of it beside each cut, and {needs} is needed to hold it by ([stock] "
                "holding). Take a wider board.",
            )


def short_words(rip: Rip, saw: SawRules) -> str:
    """Why the best tilt is not used, and what to do: past what the saw tilts to, or past its steepest test cut."""
    best, given = (f"{np.degrees(tilt):.1f}°" for tilt in (rip.wanted, rip.setting.tilt))
    leaves = f"a tilt of {best} would leave least to plane, but"
    if not saw.guide or rip.wanted > saw.tilts_to:
        return (
            f"{leaves} your saw tilts to {np.degrees(saw.tilts_to):.1f}°. Set up at {given} and plane the rest, "
            "or use a saw that tilts further."
        )
    return (
        f"{leaves} your steepest test cut is at {np.degrees(saw.guide[-1][0]):.1f}°. Make a test cut at {best} or "
        f"more, add it to guide, and run again; or set up at {given}, which leaves more."
    )


def much_words(setup: SawSetup, rip: Rip, show: str) -> str:
    """How much wood one setting leaves to the plane, and what to do instead."""
    extra = rip.setting.extra
    left, beyond = (write_small(mm, show) for mm in (extra + setup.piece.rules.planing, extra))
    by_hand = "rip it square and plane the bevel in passes, to the gauge lines"
    cures = [*_less_to_plane(setup, rip), "rip it on a band saw", by_hand]
    most = write_length(MUCH, show)
    return (
        f"do not rip it so: this cut leaves up to {left} to plane off, {beyond} of it beyond the allowance, and more "
        f"than {most} is much wood for a plane. Instead {', or '.join(cures)}."
    )


def _less_to_plane(setup: SawSetup, rip: Rip) -> Iterator[str]:
    """What this saw, or one like it, can do to leave less."""
    saw = setup.saw
    if rip.ranges and max(one.extra for one in rip.ranges) < rip.setting.extra - MUCH / 2:
        yield "saw it in several cuts, each at the setting its page gives for that length"
    if rip.short and saw.guide and rip.wanted <= saw.tilts_to:
        yield f"make a test cut at {np.degrees(rip.wanted):.1f}° or more"
    elif rip.short:
        yield "use a saw that tilts further"
