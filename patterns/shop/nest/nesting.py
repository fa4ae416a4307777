"""Parts laid on sheets: one after another, each where it lies snug, then the order bettered, always the same way.

The search works on a grid of cells and is never trusted: `patterns.shop.nest.nest_proof` measures what it gives on
the true outlines. Effort is a count of trials, not of seconds: the same parts lie the same way on every machine.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from math import fsum

import numpy as np
import shapely
import shapely.affinity

from patterns.geometry.arrays import Floats
from patterns.shop.nest.blanks import DIGITS, Blank, Layout, Placement, turned_by, turns
from patterns.shop.nest.raster import FULL, Cells, Counts, Grid, Ground, Stamp, cells_of
from patterns.shop.nest.sheet_stock import Clearances, SheetStock
from patterns.shop.nest.tightening import tightened

LAID_BY = 3  # decimals of a mm of the outlines that are laid
SLACK = 0.25  # mm a grown outline may be simplified by; it is grown a little more than that
CELL = 8.0  # mm, about; finer ones cost more and save no sheet
SEED = 20
HEAT = 0.02  # sheets a change may cost at first and still be kept: a way out of a dead end
LOOSE = 0.5  # weight of what lies on the emptiest sheet: the less, the sooner that sheet is saved
MISSING = 1e9  # mm2 a piece without room counts for
PULL = 0.5  # touching half of its rim is worth as much to a piece as lying one whole sheet less far along


class Effort(Enum):
    """How many places are tried, and how much the layout is bettered afterwards."""

    QUICK = 1
    HARD = 36

    def trials(self, pieces: int) -> int:
        """Many pieces gain little by it, and are bettered afterwards."""
        return self.value * min(350 * pieces, 8_000, 100_000 // max(pieces, 1))

    def work(self, pieces: int) -> int:
        """As `patterns.shop.nest.rearranging.Budget` counts it."""
        return self.value * min(8_000 * pieces, 270_000)


def nest(blanks: Sequence[Blank], sheets: Sequence[SheetStock], clear: Clearances, effort: Effort) -> Layout:
    """Lay pieces on sheets, which are filled in the order they are given.

    Parameters
    ----------
    blanks : sequence of Blank
        With names of their own.
    sheets : sequence of SheetStock
        Kinds of sheet; all that one kind's count allows are used before the next kind is begun.
    """
    rounded = _rounded(blanks)
    return tightened(nest_on_cells(rounded, sheets, clear, effort), rounded, clear, effort.work(len(blanks)))


def nest_on_cells(blanks: Sequence[Blank], sheets: Sequence[SheetStock], clear: Clearances, effort: Effort) -> Layout:
    """The same, each piece where a grid of cells lets it lie."""
    search = _Search(blanks, sheets, clear, effort)
    return search.layout(search.best())


def _rounded(blanks: Sequence[Blank]) -> list[Blank]:
    """Another machine's arithmetic differs in the last figure, and must lay pieces no differently for that."""
    return [
        replace(blank, shape=shapely.transform(blank.shape, lambda points: np.round(points, LAID_BY)))
        for blank in blanks
    ]


class _Rule(Enum):
    """Which of the places where a piece fits is taken."""

    SNUG = "it touches most of what lies there, not far along"
    REACH = "it ends least far along the sheet, then lowest"
    LEFT = "it begins least far along the sheet, then lowest"
    LOW = "it ends lowest, then least far along"


@dataclass(frozen=True, slots=True)
class _Plan:
    """Pieces in the order they are laid, and by piece the rule it is laid by."""

    order: tuple[int, ...]
    rules: tuple[_Rule, ...]


@dataclass(frozen=True, slots=True)
class _Lying:
    """A piece on the grid of a sheet."""

    blank: int
    sheet: int
    turn: float
    place: tuple[int, int]


@dataclass(frozen=True, slots=True)
class _Spot:
    """Where on a sheet a piece is laid."""

    turn: float
    place: tuple[int, int]


class _Sheet:
    """A sheet as far as it is filled. What was tried on it is kept: plans that differ little begin alike."""

    def __init__(self, kind: int, ground: Ground, reach: float = 0.0) -> None:
        self.kind, self.ground = kind, ground
        self.reach = reach  # mm from the sheet's left end to where the last piece ends
        self.spots: dict[tuple[_Cut, _Rule], _Spot | None] = {}
        self.fuller: dict[tuple[_Cut, _Spot], _Sheet] = {}


@dataclass(frozen=True, slots=True)
class _Filled:
    """One way of laying all pieces."""

    lying: tuple[_Lying, ...]
    kinds: tuple[int, ...]  # of the sheets used
    missing: tuple[int, ...]
    used: float  # mm2 of all sheets used, but for the longest offcut right across one of them
    loose: float  # mm2 of the pieces on that one
    sheets: tuple[tuple[_Sheet, ...], ...]  # each from empty to full

    @property
    def worth(self) -> tuple[int, float]:
        """The less, the better."""
        return len(self.missing), self.used

    @property
    def cost(self) -> float:
        """The same as one number, smoother, for a search to go down by."""
        return MISSING * len(self.missing) + self.used + LOOSE * self.loose


class _Cut:
    """A piece's outline with its share of the gap, and its cells."""

    def __init__(self, blank: Blank, clear: Clearances) -> None:
        self.shape = blank.shape
        # Half the gap on each of two neighbours; simplified so that a grid is quickly drawn, and never inwards.
        self.growth = clear.gap / 2 + 1.2 * SLACK
        grown = self.shape.buffer(self.growth, quad_segs=8).simplify(SLACK)
        assert isinstance(grown, shapely.Polygon)  # one piece grown is one piece
        self.grown = grown

    @property
    def sizes(self) -> tuple[float, float, float]:
        """What pieces are put in order by: area, length and box, mm and mm2."""
        left, bottom, right, top = self.grown.bounds
        return self.grown.area, max(right - left, top - bottom), (right - left) * (top - bottom)

    def cells(self, turn: float, cell: Floats) -> Cells:
        # In the box of what is not simplified: the piece's own box lies in the middle of it to a hair.
        left, bottom, right, top = turned_by(self.shape, turn).bounds
        box = (left - self.growth, bottom - self.growth, right + self.growth, top + self.growth)
        return cells_of(turned_by(self.grown, turn), cell, box)

    def size(self, turn: float) -> Floats:
        """mm, length and width of the piece's own box."""
        left, bottom, right, top = turned_by(self.shape, turn).bounds
        return np.array([right - left, top - bottom])


class _Field:
    """The part of a sheet that pieces may lie on, in cells, and what pieces look like on it."""

    def __init__(self, sheet: SheetStock, clear: Clearances, about: float) -> None:
        # Grown pieces may reach into the margin by what they are grown.
        spare = clear.margin - clear.gap / 2 - 1.2 * SLACK
        size = np.maximum(np.array([sheet.length, sheet.width]) - 2 * spare, 0.0)
        # Whole cells, or a piece as long as the sheet would find no room.
        self.count = np.maximum(np.round(size / about), 1).astype(int)
        self.cell = np.maximum(size, 1e-9) / self.count
        # The outermost cells are taken: an edge for pieces to lie snug against.
        self.corner = spare - self.cell
        self.grid = Grid(self._taken_at_first(sheet, clear))
        self.stamps: dict[tuple[int, float], Stamp] = {}

    def _taken_at_first(self, sheet: SheetStock, clear: Clearances) -> Cells:
        taken = np.pad(np.zeros(self.count, dtype=bool), 1, constant_values=True)
        for strip in sheet.forbidden:
            # The grown piece brings the other half of the gap.
            box = np.array(strip.box).reshape(2, 2) + np.array([[-1], [1]]) * clear.gap / 2
            low, high = (box - self.corner) / self.cell
            first, end = np.maximum(np.floor(low), 0).astype(int), np.maximum(np.ceil(high), 0).astype(int)
            taken[first[0] : end[0], first[1] : end[1]] = True
        return taken

    def stamp(self, cut: _Cut, turn: float) -> Stamp:
        key = (id(cut), turn)
        if key not in self.stamps:
            self.stamps[key] = Stamp(cut.cells(turn, self.cell))
        return self.stamps[key]

    def reach(self, place: tuple[int, int], stamp: Stamp) -> float:
        """mm from the sheet's left end to where a piece ends."""
        return float(self.corner[0] + (place[0] + stamp.cells.shape[0]) * self.cell[0])

    def foot(self, at: _Lying, cut: _Cut) -> tuple[float, float]:
        """mm: left and bottom of a piece's box; the piece lies in the middle of its cells."""
        cells = np.array(self.stamp(cut, at.turn).cells.shape)
        left, bottom = self.corner + (np.array(at.place) + cells / 2) * self.cell - cut.size(at.turn) / 2
        return float(left), float(bottom)


class _Search:
    """Plans tried one after another until the effort is spent."""

    def __init__(
        self, blanks: Sequence[Blank], sheets: Sequence[SheetStock], clear: Clearances, effort: Effort
    ) -> None:
        self.off_grain = clear.off_grain
        self.blanks, self.sheets = tuple(blanks), tuple(sheets)
        self.cuts = _shared_cuts(self.blanks, clear)
        self.fields = [_Field(sheet, clear, CELL) for sheet in self.sheets]
        self.empty = [_Sheet(kind, Ground(field.grid)) for kind, field in enumerate(self.fields)]
        self.left = effort.trials(len(self.blanks))

    def best(self) -> _Filled:
        """The best of some plain plans, then of small changes to it."""
        plan, current = self._best_plain()
        best, budget = current, max(1, self.left)
        largest = max((sheet.length * sheet.width for sheet in self.sheets), default=1.0)
        chance = np.random.default_rng(SEED)
        while self.left > 0 and len(self.blanks) > 1:
            heat = HEAT * largest * self.left / budget
            other = _changed(plan, chance)
            filled = self._fill(other)
            worse = max(0.0, filled.cost - current.cost)
            if chance.random() < np.exp(-worse / max(heat, 1.0)):
                plan, current = other, filled
            if filled.worth < best.worth:
                best = filled
            self._forget(current)
        return best

    def _best_plain(self) -> tuple[_Plan, _Filled]:
        found: tuple[_Plan, _Filled] | None = None
        for rule in (_Rule.SNUG, _Rule.REACH):
            for size in range(3):
                order = sorted(range(len(self.blanks)), key=lambda i: (-self.cuts[i].sizes[size], i))
                plan = _Plan(tuple(order), (rule,) * len(order))
                if found is not None and self.left <= 0:
                    return found
                filled = self._fill(plan)
                if found is None or filled.cost < found[1].cost:
                    found = plan, filled
        assert found is not None
        return found

    def layout(self, filled: _Filled) -> Layout:
        return Layout(
            tuple(self.sheets[kind] for kind in filled.kinds),
            tuple(self._placement(lying, filled.kinds[lying.sheet]) for lying in filled.lying),
            tuple(self.blanks[i].name for i in filled.missing),
        )

    def _placement(self, at: _Lying, kind: int) -> Placement:
        # As a placement file says them, so that its sheets are these to the last digit.
        left, bottom = (round(side, DIGITS) for side in self.fields[kind].foot(at, self.cuts[at.blank]))
        return Placement(self.blanks[at.blank].name, at.sheet, at.turn, left, bottom)

    def _fill(self, plan: _Plan) -> _Filled:
        """Pieces one by one, each on the first sheet that has room."""
        self.left -= 1
        grown: list[list[_Sheet]] = []
        full: set[tuple[int, _Cut]] = set()  # sheets on which a shape has found no room, which it will not find later
        lying: list[_Lying] = []
        missing: list[int] = []
        for i in plan.order:
            number, spot = self._first_room(i, plan.rules[i], grown, full)
            if spot is None:
                missing.append(i)
                continue
            grown[number].append(self._fuller(grown[number][-1], self.cuts[i], spot))
            lying.append(_Lying(i, number, spot.turn, spot.place))
        used, last = self._used([sheets[-1] for sheets in grown])
        loose = fsum(self.cuts[at.blank].grown.area for at in lying if at.sheet == last)
        kinds = tuple(sheets[0].kind for sheets in grown)
        return _Filled(tuple(lying), kinds, tuple(missing), used, loose, tuple(map(tuple, grown)))

    def _used(self, sheets: Sequence[_Sheet]) -> tuple[float, int]:
        """mm2 of all sheets used, but for the longest offcut right across one of them; and which one that is."""
        if not sheets:
            return 0.0, -1
        stocks = [self.sheets[sheet.kind] for sheet in sheets]
        offcuts = [
            max(0.0, stock.length - sheet.reach) * stock.width for stock, sheet in zip(stocks, sheets, strict=True)
        ]
        last = int(np.argmax(offcuts))
        return fsum(stock.length * stock.width for stock in stocks) - offcuts[last], last

    def _first_room(
        self, i: int, rule: _Rule, grown: list[list[_Sheet]], full: set[tuple[int, _Cut]]
    ) -> tuple[int, _Spot | None]:
        """The number of the sheet and the place on it; a sheet is begun where none has room."""
        cut = self.cuts[i]
        for number, sheets in enumerate(grown):
            if (number, cut) not in full:
                if (spot := self._spot(i, rule, sheets[-1])) is not None:
                    return number, spot
                full.add((number, cut))
        kinds = [sheets[0].kind for sheets in grown]
        for kind, sheet in enumerate(self.sheets):
            if sheet.count is None or kinds.count(kind) < sheet.count:
                spot = self._spot(i, rule, self.empty[kind])
                if spot is not None:
                    grown.append([self.empty[kind]])
                    return len(grown) - 1, spot
        return -1, None

    def _spot(self, i: int, rule: _Rule, sheet: _Sheet) -> _Spot | None:
        """The best place of a piece on one sheet, of all its turns; None where it does not fit."""
        cut = self.cuts[i]
        if (cut, rule) not in sheet.spots:
            best, found = -np.inf, None
            for turn in turns(self.blanks[i], self.sheets[sheet.kind], self.off_grain):
                stamp = self.fields[sheet.kind].stamp(cut, turn)
                self.left -= 1
                liked = _LIKING[rule](sheet.ground.touched(stamp), stamp)
                if liked is not None and liked[0] > best:
                    best, found = liked[0], _Spot(turn, liked[1])
            sheet.spots[cut, rule] = found
        return sheet.spots[cut, rule]

    def _fuller(self, sheet: _Sheet, cut: _Cut, spot: _Spot) -> _Sheet:
        if (cut, spot) not in sheet.fuller:
            field = self.fields[sheet.kind]
            stamp = field.stamp(cut, spot.turn)
            reach = max(sheet.reach, field.reach(spot.place, stamp))
            sheet.fuller[cut, spot] = _Sheet(sheet.kind, sheet.ground.taken(stamp, spot.place), reach)
        return sheet.fuller[cut, spot]

    def _forget(self, but: _Filled) -> None:
        """Sheets of plans given up: each keeps some megabytes of places."""
        kept = {id(sheet) for sheets in but.sheets for sheet in sheets}
        for sheet in (*self.empty, *(sheet for sheets in but.sheets for sheet in sheets)):
            sheet.fuller = {step: fuller for step, fuller in sheet.fuller.items() if id(fuller) in kept}


Liked = tuple[float, tuple[int, int]]  # how well a place is liked, and the lower left cell there


def _first(counts: Counts, stamp: Stamp, *, end: bool) -> Liked | None:
    """Least far along the sheet, then lowest."""
    free = counts < FULL
    if not free.size or not free.flat[at := int(free.argmax())]:
        return None
    column, row = divmod(at, free.shape[1])
    return -(column + row / 1e4 + (stamp.cells.shape[0] if end else 0)), (column, row)


def _lowest(counts: Counts, stamp: Stamp) -> Liked | None:
    rows = (counts < FULL).any(axis=0)
    if not rows.any():
        return None
    row = int(rows.argmax())
    column = int((counts[:, row] < FULL).argmax())
    return -(row + stamp.cells.shape[1] + column / 1e4), (column, row)


def _snug(counts: Counts, stamp: Stamp) -> Liked | None:
    if not counts.size or counts.min() >= FULL:
        return None
    columns = counts.shape[0] + stamp.cells.shape[0] - 1
    ahead = (np.arange(counts.shape[0]) + stamp.cells.shape[0]) * (PULL / columns)
    liking = counts * np.float32(1 / stamp.rim) - ahead.astype(np.float32)[:, None]
    column, row = divmod(int(np.where(counts < FULL, liking, -np.inf).argmax()), counts.shape[1])
    return float(liking[column, row]), (column, row)


_LIKING: dict[_Rule, Callable[[Counts, Stamp], Liked | None]] = {
    _Rule.SNUG: _snug,
    _Rule.REACH: lambda counts, stamp: _first(counts, stamp, end=True),
    _Rule.LEFT: lambda counts, stamp: _first(counts, stamp, end=False),
    _Rule.LOW: _lowest,
}


def _shared_cuts(blanks: Sequence[Blank], clear: Clearances) -> list[_Cut]:
    """One cut for all pieces of one shape and grain."""
    known: dict[tuple[bytes, float | None], _Cut] = {}
    return [known.setdefault((shapely.to_wkb(blank.shape), blank.grain), _Cut(blank, clear)) for blank in blanks]


def _changed(plan: _Plan, chance: np.random.Generator) -> _Plan:
    """Two pieces exchanged, one moved elsewhere in the order, or one laid by another rule."""
    order, rules = list(plan.order), list(plan.rules)
    a, b = (int(n) for n in chance.choice(len(order), size=2, replace=False))
    dice = chance.random()
    if dice < 0.4:
        order[a], order[b] = order[b], order[a]
    elif dice < 0.8:
        order.insert(b, order.pop(a))
    else:
        rules[a] = list(_Rule)[int(chance.integers(len(_Rule)))]
    return _Plan(tuple(order), tuple(rules))
