"""Blanks: the rectangles of wood that pieces are got out of, with what saw, plane and bench take of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.short_repr import brief
from patterns.parts.materials import NOT_STATED
from patterns.parts.part import Part, longways
from patterns.shop.saw.long_bench import BenchPiece
from patterns.shop.saw.scarfs import Scarf, scarf_plan
from patterns.shop.stock.cut_list import on_hand
from patterns.shop.stock.yard import YardBoard, YardRules
from patterns.shop.woods import same_wood

HAIR = 0.01  # mm
NARROWER = 10.0  # mm of width that a pair must save, side by side, to be laid out as one
MOST_STRIPS = 20  # or layers, glued to one part; nobody lays more
TOO_SHORT = "yard has no board long enough to be scarfed; list longer ones in [stock] yard"


@dataclass(frozen=True, slots=True, eq=False)
class Blank:
    """A rectangle of wood to be cut from a board of the yard, its length along the grain."""

    name: str  # the piece it is for, and which of several
    titles: tuple[str, ...]  # of the parts it is for
    thickness: float  # mm, finished
    length: float  # mm
    width: float  # mm
    outlines: tuple[Floats, ...] = ()  # (n, 2) mm each, of the finished parts in it; none of a strip or a length

    __repr__ = brief


@dataclass(frozen=True, slots=True)
class NotInYard:
    """A part that no board of the yard makes, and what to do."""

    title: str
    material: str
    why: str


class BlanksOf:
    """Blanks of parts, as large as boards of the yard allow: what is larger is glued up of several."""

    def __init__(self, rules: YardRules) -> None:
        self.rules = rules
        self.scarfed: dict[str, tuple[Scarf, ...]] = {}  # by a long piece's name, where one hand of it is scarfed

    def of(
        self, parts: Sequence[Part], made: Mapping[str, BenchPiece]
    ) -> Iterator[tuple[YardBoard, Blank] | NotInYard]:
        """Each blank with a board of the thickness it is cut from; or why a part has none.

        Parameters
        ----------
        parts : sequence of Part
            Those that are to be bought, or of which lengths are.
        made : mapping
            The long pieces at the bench, by title.
        """
        done: set[str] = set()
        for part in parts:
            if part.title in done:
                continue
            bench = made.get(part.title)
            boards = [board for board in self.rules.boards if same_wood(board.material, part.material)]
            if part.material == NOT_STATED:
                yield NotInYard(part.title, part.material, "its material is not stated; state it in boat.toml")
            elif not boards:
                yield NotInYard(
                    part.title, part.material, f"yard lists no {part.material}; add its boards to [stock] yard"
                )
            elif bench:
                other = next((one for one in made.values() if one is not bench and _alike(one, bench)), None)
                for found in self._long(bench, other, boards):
                    done |= set(found[1].titles) if isinstance(found, tuple) else set()
                    yield found
            else:
                yield from self._short(part, boards)

    def _usable(self, board: YardBoard) -> tuple[float, float]:
        """mm, the length and width left of a board once its ends and edges are cut."""
        return board.length - self.rules.ends, board.width - self.rules.edges

    def _long(
        self, one: BenchPiece, other: BenchPiece | None, boards: Sequence[YardBoard]
    ) -> Iterator[tuple[YardBoard, Blank] | NotInYard]:
        """A long piece on the least board that its saw sheet names; lengths to be scarfed where none is so long."""
        least, title = one.least, one.title
        thick = _thick_enough(boards, one.piece.thickness)
        wide = [board for board in thick if self._usable(board)[1] >= least.width - HAIR]
        if not wide:
            lacks = "as thick" if not thick else "as wide"
            yield NotInYard(
                title,
                one.piece.part.material,
                f"yard has no board {lacks}; list one in [stock] yard, or glue the stock up",
            )
            return
        board = wide[0]
        longest = max(self._usable(other)[0] for other in wide if _as_thick(other, board))
        hand = on_hand(one)
        if hand is not None:
            lengths: tuple[float, ...] = hand.missing
        elif longest >= least.length - HAIR:
            widest = max(self._usable(one)[1] for one in wide if _as_thick(one, board))
            pair = least.pair_width
            if other and not on_hand(other) and pair <= min(widest, 2 * least.width - NARROWER):
                yield board, self._pair(one, other)
                return
            rings = _outlines(one.piece.part, least.length, least.width)
            yield board, Blank(title, (title,), one.piece.thickness, least.length, least.width, rings)
            return
        else:
            plan = scarf_plan(one.piece, longest, self.rules.scarf, self.scarfed.get(one.piece.name, ()))
            if plan is None:
                yield NotInYard(title, one.piece.part.material, TOO_SHORT)
                return
            self.scarfed[one.piece.name] = plan.scarfs
            lengths = plan.boards
        for number, length in enumerate(lengths, start=1):
            name = f"{title}, length {number} of {len(lengths)} to scarf"
            yield board, Blank(name, (title,), one.piece.thickness, length, least.width)

    def _pair(self, one: BenchPiece, other: BenchPiece) -> Blank:
        least = one.least
        [ring] = _outlines(one.piece.part, least.length, least.width)
        up = np.array([0.0, least.pair_width - least.width])
        titles = one.title, other.title
        name = f"{one.piece.name}, port and starboard side by side"
        return Blank(name, titles, least.thickness, least.length, least.pair_width, (ring, ring + up))

    def _short(self, part: Part, boards: Sequence[YardBoard]) -> Iterator[tuple[YardBoard, Blank] | NotInYard]:
        """Any other part: in layers, of boards side by side or of scarfed lengths where no board is as large."""
        rules, thick = self.rules, part.thickness + part.crown
        layers = ceil((thick - HAIR) / max(board.dressed for board in boards))
        if layers > MOST_STRIPS:
            yield NotInYard(
                part.title, part.material, "yard has no board thick enough; list thicker ones in [stock] yard"
            )
            return
        board = _thick_enough(boards, thick / layers)[0]
        alike = [one for one in boards if _as_thick(one, board)]
        longest = max(self._usable(one)[0] for one in alike)
        long, wide = _size(part)
        room, taper = longest - rules.blank_ends + HAIR, rules.scarf * thick
        if long > room and room <= 2 * taper:
            yield NotInYard(part.title, part.material, TOO_SHORT)
            return
        # Each further length is shorter by one taper: it lies in the scarf.
        lengths = 1 if long <= room else ceil((long - taper) / (room - taper))
        length = (long + (lengths - 1) * taper) / lengths + rules.blank_ends
        enough = [one for one in alike if self._usable(one)[0] >= length - HAIR] or alike
        widest = max(self._usable(one)[1] for one in enough)
        strips = ceil((wide - HAIR) / max(widest - rules.blank_edges, HAIR))
        if strips > MOST_STRIPS:
            yield NotInYard(part.title, part.material, "yard has no board wide enough; list wider ones in [stock] yard")
            return
        width = wide / strips + rules.blank_edges
        whole = lengths == strips == 1
        rings = _outlines(part, length, width) if whole else ()
        for words in _of_each(part.count, layers, strips, lengths):
            yield board, Blank(part.title + words, (part.title,), thick / layers, length, width, rings)


def _alike(one: BenchPiece, other: BenchPiece) -> bool:
    """Whether they are the two hands of one piece."""
    return one.piece.name == other.piece.name


def _thick_enough(boards: Sequence[YardBoard], thickness: float) -> list[YardBoard]:
    """Boards that plane clean to a thickness, the thinnest first."""
    found = [board for board in boards if board.dressed >= thickness - HAIR]
    return sorted(found, key=lambda board: (board.dressed, board.thickness))


def _as_thick(one: YardBoard, other: YardBoard) -> bool:
    return (one.thickness, one.dressed) == (other.thickness, other.dressed)


def _of_each(count: int, layers: int, strips: int, lengths: int) -> Iterator[str]:
    """Which of several blanks each is, in words."""
    for copy in range(1, count + 1):
        for layer in range(1, layers + 1):
            for strip in range(1, strips + 1):
                for length in range(1, lengths + 1):
                    yield "".join(
                        f", {words}"
                        for words in (
                            f"{copy} of {count}" if count > 1 else "",
                            f"layer {layer} of {layers}" if layers > 1 else "",
                            f"strip {strip} of {strips}" if strips > 1 else "",
                            f"length {length} of {lengths} to scarf" if lengths > 1 else "",
                        )
                        if words
                    )


def _laid(part: Part) -> tuple[Floats, Floats]:
    """(n, 2) mm each, both faces' outlines with the grain along x; along the length where it may lie any way."""
    along = part.grain_along
    if along is None:
        along = longways(part.outline)
    cos, sin = np.cos(along), np.sin(along)
    turn = np.array([[cos, -sin], [sin, cos]])
    return part.outline @ turn, part.far_outline @ turn


def _size(part: Part) -> tuple[float, float]:
    """mm, along the grain and across it, of both faces together."""
    long, wide = np.ptp(np.concatenate(_laid(part)), axis=0).tolist()
    return long, wide


def _outlines(part: Part, length: float, width: float) -> tuple[Floats, ...]:
    """The finished outline of the marked face, in the middle of its blank."""
    near, far = _laid(part)
    both = np.concatenate([near, far])
    middle = (both.max(axis=0) + both.min(axis=0)) / 2
    return (near - middle + np.array([length, width]) / 2,)
