"""Every long piece the builder asks for, both hands."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace

import numpy as np

from patterns.errors import ShapeError, while_making
from patterns.hull.build import within_sentence
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.strakes import Corner
from patterns.parts.asked.long_rules import ChineLogRules, LongAsked, StringerRules
from patterns.parts.long.keel import on_bottom
from patterns.parts.long.laid_flat import long_piece
from patterns.parts.long.log import chine_log
from patterns.parts.long.long_ends import bottom_end, inner_end, outer_end
from patterns.parts.long.long_pieces import LongPiece
from patterns.parts.long.rail import side_rail
from patterns.parts.long.risers import riser, riser_ends, riser_words
from patterns.parts.long.solids import Solid
from patterns.parts.long.stick import Cut, Facet, Laid
from patterns.parts.long.strake_stringers import strake_stringer
from patterns.parts.role import Role
from patterns.parts.stands import FrameStand
from patterns.units.lengths import write_length

UNBROKEN = "Runs unbroken from end to end; frames are notched over it, moulds are not."


def long_pieces(hull: Hull, asked: LongAsked, stands: tuple[FrameStand, ...], *, show: str) -> tuple[LongPiece, ...]:
    """The long pieces of a boat, port before starboard.

    Parameters
    ----------
    show : str
        How lengths are printed; marks stand at a round length in those units.

    Raises
    ------
    ShapeError
        Where a piece cannot be had, by its name.
    """
    made = []
    for laid in _laid(hull, asked, show):
        fore, aft = laid.ends
        ends = fore or _end(hull, laid, asked, aft=False), aft or _end(hull, laid, asked, aft=True)
        piece = long_piece(laid, ends, stands, show=show)
        made.extend(_both_hands(piece) if laid.pair else [piece])
    return tuple(made)


def solids(pieces: tuple[LongPiece, ...]) -> tuple[Solid, ...]:
    """The long pieces as wood in the boat, for frames and ends to be notched by: those inside the planking."""
    return tuple(piece.solid for piece in pieces if piece.inside)


def _both_hands(piece: LongPiece) -> list[LongPiece]:
    return sorted((piece, piece.mirrored()), key=lambda one: one.part.hand)


def _end(hull: Hull, laid: Laid, asked: LongAsked, *, aft: bool) -> Cut:
    with while_making(laid.rules.name):
        if laid.outside or (asked.through_aft if aft else asked.through_fore):
            return outer_end(hull, aft=aft)
        if laid.pair and laid.stick.strake is hull.floor:
            log = asked.log_at(laid.stick.strake.upper)
            return bottom_end(hull, laid.stick, log_sided=log.sided if log else 0.0, aft=aft)
        return inner_end(hull, laid.stick, aft=aft)


def _laid(hull: Hull, asked: LongAsked, show: str) -> Iterator[Laid]:
    for corner in hull.corners:
        said = asked.log_at(corner.line)
        # A lap is fastened to itself; reading has refused a log for it.
        if said and not corner.lapped:
            log = replace(said, name=f"{corner.line} log")
            try:
                stick, ends = chine_log(hull, corner, log)
            except ShapeError as error:
                able = _able(hull, asked) if said.at is None and len(hull.corners) > 1 else []
                if not able:
                    raise
                cure = f"write [[chine_log]] with {' and one with '.join(able)} in place of [chine_log]"
                raise ShapeError(f"{error.text}; {cure}", *error.lengths, at=error.at) from error
            yield Laid(Role.LOG, log, stick, False, True, _log_words(corner, log, stick.facet, show), ends)
    if asked.inwale:
        stick = side_rail(hull, asked.inwale, below_sheer=0.0, inside=True)
        lies = "On the inside of the side, its top flush with the sheer; both edges square to the side."
        yield Laid(Role.INWALE, asked.inwale, stick, False, True, (lies, UNBROKEN))
    if asked.outwale:
        stick = side_rail(hull, asked.outwale, below_sheer=0.0, inside=False)
        if asked.inwale:
            # In the middle of what lies on both: a fastening below a shallower inwale would hold nothing.
            both = min(asked.inwale.moulded, asked.outwale.moulded)
            stick = replace(stick, fastened=both / asked.outwale.moulded / 2)
        lies = "On the outside of the side, its top flush with the sheer; both edges square to the side."
        yield Laid(Role.OUTWALE, asked.outwale, stick, True, True, (lies,))
    if asked.rub_rail:
        yield _rub_rail(hull, asked.rub_rail)
    for stringer in asked.stringers:
        yield _stringer(hull, stringer, show)
    for rules in asked.risers:
        stick = riser(hull, rules)
        words = (riser_words(stick.strake, rules, show), UNBROKEN)
        yield Laid(Role.RISER, rules, stick, False, True, words, riser_ends(rules))
    if hull.seam is None:  # on a V bottom they are shaped to it
        yield from _keels(hull, asked)


def _able(hull: Hull, asked: LongAsked) -> list[str]:
    """The chines that can have the log asked for all of them, as boat.toml says them."""
    able = []
    for corner in hull.corners:
        said = asked.log_at(corner.line)
        if said and not corner.lapped:
            with suppress(ShapeError):
                chine_log(hull, corner, said)
                able.append(f'at = "{corner.line}"')
    return able


def _rub_rail(hull: Hull, rules: StringerRules) -> Laid:
    stick = side_rail(hull, rules, below_sheer=rules.below_sheer or 0.0, inside=False)
    words = (
        "On the outside of the side, its upper edge a distance below the sheer measured down the side; edges square."
    )
    return Laid(Role.RUB_RAIL, rules, stick, True, True, (words,))


def _stringer(hull: Hull, rules: StringerRules, show: str) -> Laid:
    if rules.from_center is None:
        below = rules.below_sheer or 0.0
        stick = strake_stringer(hull, rules, below_sheer=below)
        on = within_sentence(stick.strake.name)
        words = (
            f"On the inside of {on}, its upper edge {write_length(below, show)} below the sheer, measured down the "
            "inside of the planking, square to the sheer and to each chine it crosses; edges square."
        )
        return Laid(Role.STRINGER, rules, stick, False, True, (words, UNBROKEN))
    stick = on_bottom(hull, rules, from_center=rules.from_center)
    words = (
        f"On the inside of the bottom, its inboard edge {write_length(rules.from_center, show)} from the center line; "
        "the edge named upper is the one outboard. Both edges square to the bottom."
    )
    return Laid(Role.STRINGER, rules, stick, False, True, (words, UNBROKEN))


def _keels(hull: Hull, asked: LongAsked) -> Iterator[Laid]:
    words = "Lies flat along the center line, edges square; seen from below, port at the top."
    if asked.keel_batten:
        yield Laid(
            Role.KEEL_BATTEN, asked.keel_batten, on_bottom(hull, asked.keel_batten), False, False, (words, UNBROKEN)
        )
    if asked.keelson:
        above = asked.keel_batten.moulded if asked.keel_batten else 0.0
        on = ("On top of the keel batten.",) if asked.keel_batten else ("On the inside of the bottom.",)
        stick = on_bottom(hull, asked.keelson, above=above)
        yield Laid(Role.KEELSON, asked.keelson, stick, False, False, (*on, words, UNBROKEN))


def _log_words(corner: Corner, rules: ChineLogRules, facet: Facet | None, show: str) -> tuple[str, ...]:
    above, below = within_sentence(corner.above.name), within_sentence(corner.below.name)
    lies = f"The lower edge is bevelled to the inside of {below}."
    if facet:
        line = "the chine" if corner.line == "chine" else corner.line
        breadth = write_length(facet.breadth, show)
        lies = (
            f"A batten across {line}, where the strakes turn little; its lower edge is square. Above the "
            f"{corner.line} line this face lies on the inside of {above}; the {breadth} below that line are planed off "
            f"to lie on the inside of {below}."
        )
    if rules.top_bevel is not None:
        top = f"The top is bevelled {np.degrees(rules.top_bevel):.1f}° all along, as asked."
    elif rules.drain is not None:
        top = f"The top falls {np.degrees(rules.drain):.1f}° inboard all along with the boat level, square to the log."
    else:
        top = f"No drain is asked for: the top is left square to {above}."
    return (lies, top, UNBROKEN)
