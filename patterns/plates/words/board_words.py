"""What bench sheets say of wood: where a piece lies on a board, what it wants, and how lengths are scarfed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from patterns.geometry.arrays import Floats, run_along
from patterns.parts.hazards import EPOXY
from patterns.parts.materials import NOT_STATED
from patterns.plates.words.bench_words import PRACTICE, no_less, no_more, side_word
from patterns.plates.words.length_words import EXPLAINED, along_a_board, lengths_words, sentence, stock_words
from patterns.shop.saw.board_layout import RUN_OUT_LIMIT, BoardPlace, edges_as_laid
from patterns.shop.saw.board_stock import Lack, Refusal
from patterns.shop.saw.edge_views import NEAR, EdgeView, edge_view, mark_places, stock_ends
from patterns.shop.saw.long_bench import BenchPiece
from patterns.shop.saw.scarfs import WITNESS, ScarfPlan
from patterns.shop.stock.lengths import lengths_of
from patterns.shop.woods import GRAIN_SOURCE
from patterns.units.lengths import write_length

LEAST_SPARE = 15.0  # mm at each end; with less nobody saws a piece out of a board. Judgement of this program
SWEPT_TOO_FAR = (
    f"Steeper than 1 in 12, the most for sprung stock ({PRACTICE}): find a board whose grain sweeps as the piece does, "
    "or glue the piece up of thin strips."
)


def board_words(hands: Sequence[BenchPiece], show: str) -> list[str]:
    """Where a piece lies on the builder's wood, or what wood it wants; of both hands, what differs by its hand."""
    made = hands[0]
    told = [f"{sentence(lengths_words(lengths_of(made.piece.part, made), show))}. {EXPLAINED}", _ends_words(made, show)]
    on_wood = [_on_wood(one, show) for one in hands]
    of_all = [text for text in on_wood[0] if all(text in words for words in on_wood)]
    for one, words in zip(hands, on_wood, strict=True):
        whose = f"{one.piece.part.hand.upper()}: " if len(hands) > 1 else ""
        told += [f"{whose}{text}" for text in words if text not in of_all]
    told += of_all  # of one hand alone, all there is in its own order
    return [*told, _least_words(made, show)]


def _on_wood(made: BenchPiece, show: str) -> list[str]:
    """The builder's board that this hand comes out of, or why none will do."""
    told = list(_place_words(made.place, made, show)) if made.place else []
    if made.with_other and made.with_other.place:
        told.append(_beside_words(made.with_other.place, made.with_other, show))
    told += _refusal_words(made, show)
    if made.scarfs:
        told += scarf_words(made.scarfs, show, _of_boards(made))
    return told


def _ends_words(made: BenchPiece, show: str) -> str:
    """The finished edges as drawn and in the boat, and where the stock ends beyond them."""
    piece = made.piece
    first, last = stock_ends(piece)
    told = []
    for name in ("lower", "upper"):
        edge = edge_view(piece, name, NEAR)
        drawn = float(run_along(piece.part.edge(name).points)[-1])
        in_boat = piece.arrises.lower if name == "lower" else piece.arrises.upper
        ends = (write_length(mm, show) for mm in (edge.within[0] - first, last - edge.within[1]))
        told.append(
            f"{name} edge {write_length(drawn, show)} as drawn, {write_length(in_boat, show)} in "
            f"the boat, {' and '.join(ends)} of stock beyond its fore and after end"
        )
    return f"On the face against the planking: {'; '.join(told)}."


def board_name(place: BoardPlace) -> str:
    """Which of the builder's boards: by its place in his list, and which of those that are alike."""
    count = place.board.count
    return f"board {place.number}" + (f", number {place.span.copy} of {count} alike" if count > 1 else "")


def _place_words(place: BoardPlace, made: BenchPiece, show: str) -> Iterator[str]:
    name = board_name(place)
    where = (
        f"{name[0].upper()}{name[1:]}, seen as you look at the face against the planking, bow to your left: "
        f"{_lying(place)}stock begins {write_length(place.along, show)} from the board's end at your left; "
        f"{_across(place, made, show)}."
    )
    others = ", ".join(one.title for one in made.beside)
    yield where + (f" On the same board, dashed: {others}." if others else "")
    yield (
        f"{_grain(place)}. Straightest grain at the hard end; flatter than 1 in 12 in sprung stock ({PRACTICE})."
        f"{_pair_words(place, made, show)}"
    )


def _lying(place: BoardPlace) -> str:
    """How a board that is not the same all round is laid down; said by its edges and ends, for it has two faces."""
    board = place.board
    left = "its left end to your right, " if place.end_for_end else "its left end to your left, "
    if board.lower or any(board.avoid):
        return f"{left}its lower edge {side_word(place.turned_over)}; "
    return f"its hollow edge {side_word(not place.turned_over)}; " if board.sweep else ""


def _across(place: BoardPlace, made: BenchPiece, show: str) -> str:
    """The net edge toward the sawyer, up from the board's edge there, at both ends and amidships."""
    low, _ = edges_as_laid(place)
    return _off_edge(place, made, _edge_toward(made, -1.0), low, 0.0, show)


def _beside_words(place: BoardPlace, other: BenchPiece, show: str) -> str:
    """The second of a pair on one board, where the other hand has its place: the board is turned over for it."""
    assert place.pair is not None
    _, high = edges_as_laid(place)
    across = _off_edge(place, other, _edge_toward(other, 1.0), high, place.pair, show)
    name = board_name(place)
    return (
        f"{name[0].upper()}{name[1:]}, beside its pair: mark that one first, then turn the board over about its "
        f"length, its ends where they were. Stock begins {write_length(place.along, show)} from the board's end at "
        f"your left; {across}."
    )


def _off_edge(place: BoardPlace, made: BenchPiece, edge: EdgeView, side: Floats, over: float, show: str) -> str:
    """How far a net edge, moved so far over, lies from the side of the board that is toward the sawyer."""
    marks = mark_places(made.piece, edge.name)[[0, len(made.piece.places) // 2, -1]]
    points = place.laid(np.column_stack([marks, np.interp(marks, edge.net[:, 0], edge.net[:, 1])]))
    off = [write_length(abs(float(y + over - np.interp(x, side[:, 0], side[:, 1]))), show) for x, y in points]
    return (
        f"its finished {edge.name} edge lies {off[0]} from the board's edge toward you at the fore end, {off[1]} at "
        f"{_middle_mark(made, show)}, {off[2]} at the after end"
    )


def _middle_mark(made: BenchPiece, show: str) -> str:
    """The mark in the middle of the table of marks, by its name or by where it stands in the table."""
    place = made.piece.places[len(made.piece.places) // 2]
    return place.name or f"the mark at {write_length(place.along, show)} along the lower edge"


def _edge_toward(made: BenchPiece, out: float) -> EdgeView:
    """The edge at the foot of the drawing (-1) or at its head (+1)."""
    lower = edge_view(made.piece, "lower", NEAR)
    return lower if lower.out * out > 0 else edge_view(made.piece, "upper", NEAR)


def _grain(place: BoardPlace) -> str:
    run = (
        f"The grain runs out no steeper than 1 in {place.one_in:.0f}" if np.isfinite(place.one_in) else "Grain straight"
    )
    left = place.strength
    if left is None:
        return f"{run}: steeper than any published figure: find a board with more sweep"
    if left < 1:
        return f"{run}: about {100 * left:.0f} % of the bending strength is left ({GRAIN_SOURCE})"
    return f"{run}: no loss counted ({GRAIN_SOURCE}: 1 in 15 or flatter)"


def _pair_words(place: BoardPlace, made: BenchPiece, show: str) -> str:
    if place.pair is None:
        return ""
    return (
        f" Port and starboard come out of it, {write_length(place.pair, show)} apart: mark this one on one face, turn "
        "the board over and mark its pair on the other face, face against the planking up each time."
    )


def stock_size(made: BenchPiece, show: str) -> str:
    """Stock length by width by thickness."""
    least = made.least
    across = (no_less(mm, show) for mm in (least.width, least.thickness))
    return " by ".join((stock_words(lengths_of(made.piece.part, made), show), *across))


def _least_words(made: BenchPiece, show: str) -> str:
    least, both = made.least, made.piece.part.hand != "none"
    grain = f", run-out 1 in {least.one_in:.0f}" if np.isfinite(least.one_in) else ""
    swept = f" {SWEPT_TOO_FAR}" if least.one_in * RUN_OUT_LIMIT < 0.99 else ""
    pair = f", {no_less(least.pair_width, show)} wide for port and starboard" if both else ""
    return (
        f"Stock: the least straight-grained board is {stock_size(made, show)} thick when dressed{pair}{grain}; "
        f"3 in (75 mm) of it to spare at each end, "
        f"both kerfs and {write_length(least.holding, show)} of wood to hold beyond each counted ({PRACTICE}).{swept}"
    )


def _refusal_words(made: BenchPiece, show: str) -> list[str]:
    """Why no board of the builder's will do, where he has any."""
    if not made.refused:
        return []
    if all(one.lack is Lack.WOOD for one in made.refused):
        wood = made.piece.rules.material
        if wood == NOT_STATED:
            return ["Its material is not stated, so none of your boards is chosen."]
        return [f"None of your boards is {wood}."]
    reasons = [f"board {one.number} {_why(one, show)}" for one in made.refused if one.lack is not Lack.WOOD]
    return [f"None of your boards will do whole: {'; '.join(reasons)}."]


def _why(one: Refusal, show: str) -> str:
    sizes = f"{no_more(one.has, show)}, needs {no_less(one.wants, show)}"
    match one.lack:
        case Lack.THIN:
            return f"is too thin ({sizes})"
        case Lack.NARROW:
            between = " between sapwood and wane" if any(one.board.avoid) else ""
            return f"is too narrow ({sizes}{between})"
        case Lack.HOLDING:
            return (
                f"holds the piece and its kerfs, but leaves {no_more(one.has, show)} beside each cut to hold it by, "
                f"needs {no_less(one.wants, show)}: take a wider board"
            )
        case Lack.SHORT:
            sizes = f"{no_more(one.has, show)}, needs {along_a_board(one.wants, show)}"
            return f"is too short ({sizes} with 3 in (75 mm) to spare at each end{_by_hand(one, show)})"
        case Lack.USED:
            return "is used up by the pieces before"
        case _:
            between = " between its sapwood or wane" if any(one.board.avoid) else ""
            return f"has no room for the piece, its kerfs and the wood to hold{between}"


def _by_hand(one: Refusal, show: str) -> str:
    """Whether a board too short for the stock holds the finished piece, as a builder short of wood would use it."""
    if one.left_at_ends < LEAST_SPARE:
        return ""
    return f"; it holds the finished piece with {no_more(one.left_at_ends, show)} to spare at each end, if you trace it"


def _of_boards(made: BenchPiece) -> str:
    lacking = f"; {len(made.missing)} MORE OF IT THAN YOU HAVE LEFT" if made.missing else ""
    return f" out of board {made.lengths_of}{lacking}"


def _ramp(ratio: float) -> str:
    return f"{np.degrees(np.arctan(1 / ratio)):.1f}°"


def scarf_words(plan: ScarfPlan, show: str, of_boards: str) -> list[str]:
    boards = ", ".join(write_length(length, show) for length in plan.boards)
    told = [
        f"Scarf {len(plan.boards)} lengths{of_boards}, fore to aft: {boards}; "
        f"{write_length(plan.gross, show)} in all. Each scarf {plan.ratio:g} to 1, {write_length(plan.length, show)} "
        f"long, planed as drawn; a jig's ramp rises {write_length(plan.length / plan.ratio, show)} in that "
        f"({_ramp(plan.ratio)}). Glue up and dress before you saw the piece out."
    ]
    for one in plan.scarfs:
        clear = "" if one.clear else " IT CROSSES A FRAME: no bay has the room."
        fore, aft = one.witness
        told.append(
            f"Scarf {one.bay}, middle {write_length(one.middle, show)} from the fore end along the lower edge; feather "
            f"edges at {write_length(one.fore_tip, show)} on the face against the planking and "
            f"{write_length(one.after_tip, show)} on the other. Strike lines square across at "
            f"{write_length(fore, show)} and {write_length(aft, show)}: glued, {write_length(2 * WITNESS, show)} apart "
            f"and in line.{clear}"
        )
    if not plan.staggered:
        told.append("Port and starboard are scarfed in one bay: no other has the room.")
    return [*told, EPOXY]
