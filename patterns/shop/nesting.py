"""Parts laid on sheets: one after another, each where it lies snug, then the order bettered, always the same way.

The search works on a grid of cells and is never trusted: `patterns.shop.nest_proof` measures what it gives on the true
outlines. Effort is a count of trials, not of seconds, so that the same parts lie the same way on every machine.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum

import numpy as np
import shapely
import shapely.affinity

from patterns.geometry.arrays import Floats
from patterns.shop.raster import Cells, Ground, Stamp, cells_of
from patterns.shop.stock import Clearances, SheetGrain, SheetStock

SLACK = 0.25  # mm a grown outline may be simplified by; it is grown a little more than that
CELL = 8.0  # mm, about; finer ones cost more and save no sheet
SEED = 20
HEAT = 0.02  # sheets a change may cost at first and still be kept: a way out of a dead end
LOOSE = 0.5  # weight of what lies on the emptiest sheet: the less, the sooner that sheet is saved
MISSING = 1e9  # mm2 a piece without room counts for
PULL = 0.5  # touching half of its rim is worth as much to a piece as lying one whole sheet less far along


class Effort(Enum):
    """How many places are tried: for each piece, and at most."""

    QUICK = (100, 2_000)
    HARD = (2_000, 50_000)

    def trials(self, pieces: int) -> int:
        return min(self.value[0] * pieces, self.value[1])


@dataclass(frozen=True, slots=True, eq=False)
class Blank:
    """What one piece takes of a sheet."""

    name: str
    shape: shapely.Polygon  # mm, the larger face, openings that go right through as holes
    grain: float | None  # degrees from x to the grain it must have; None where it may lie any way


@dataclass(frozen=True, slots=True)
class Placement:
    """Where a piece lies on its sheet."""

    name: str
    sheet: int  # number of the sheet, from 0
    turn: float  # degrees counter-clockwise
    left: float  # mm, the foot of the turned piece's box from the sheet's left end
    bottom: float  # mm, and from its lower edge


@dataclass(frozen=True, slots=True)
class Layout:
    """Pieces on sheets."""

    sheets: tuple[SheetStock, ...]  # those used, in the order they are numbered
    placements: tuple[Placement, ...]
    left_over: tuple[str, ...]  # pieces no sheet had room for


def laid(shape: shapely.Polygon, placement: Placement) -> shapely.Polygon:
    """A piece's outline as it lies on its sheet."""
    turned = turned_by(shape, placement.turn)
    left, bottom, _, _ = turned.bounds
    return shapely.affinity.translate(turned, placement.left - left, placement.bottom - bottom)


def turned_by(shape: shapely.Polygon, degrees: float) -> shapely.Polygon:
    """A shape turned about its own origin; quarter turns without rounding."""
    cos, sin = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    if degrees % 90.0 == 0.0:
        cos, sin = np.round(cos), np.round(sin)
    return shapely.affinity.affine_transform(shape, [cos, -sin, sin, cos, 0.0, 0.0])


def turns(blank: Blank, sheet: SheetStock) -> tuple[float, ...]:
    """Degrees a piece may be turned by on a sheet."""
    if blank.grain is None or sheet.grain is SheetGrain.NONE:
        return 0.0, 180.0, 90.0, 270.0
    along = ((0.0 if sheet.grain is SheetGrain.LENGTH else 90.0) - blank.grain) % 180.0
    return along, along + 180.0


def nest(blanks: Sequence[Blank], sheets: Sequence[SheetStock], clear: Clearances, effort: Effort) -> Layout:
    """Lay pieces on sheets, which are filled in the order they are given.

    Parameters
    ----------
    blanks : sequence of Blank
        With names of their own.
    sheets : sequence of SheetStock
        Kinds of sheet; all that one kind's count allows are used before the next kind is begun.
    """
    search = _Search(blanks, sheets, clear, effort)
    return search.layout(search.best())


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
class _Filled:
    """One way of laying all pieces."""

    lying: tuple[_Lying, ...]
    kinds: tuple[int, ...]  # of the sheets used
    missing: tuple[int, ...]
    used: float  # mm2 of all sheets used, but for the longest offcut right across one of them
    loose: float  # mm2 of the pieces on that one

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
        grown = blank.shape.buffer(self.growth, quad_segs=8).simplify(SLACK)
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
        self.empty = self._taken_at_first(sheet, clear)
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
            self.stamps[key] = Stamp(cut.cells(turn, self.cell), self.empty.shape)
        return self.stamps[key]

    def reach(self, at: _Lying, stamp: Stamp) -> float:
        """mm from the sheet's left end to where a piece ends."""
        return float(self.corner[0] + (at.place[0] + stamp.cells.shape[0]) * self.cell[0])

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
        self.blanks, self.sheets = tuple(blanks), tuple(sheets)
        self.cuts = _shared_cuts(self.blanks, clear)
        self.fields = [_Field(sheet, clear, CELL) for sheet in self.sheets]
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
        return best

    def _best_plain(self) -> tuple[_Plan, _Filled]:
        found: tuple[_Plan, _Filled] | None = None
        for rule in (_Rule.SNUG, _Rule.REACH):
            for size in range(3):
                order = sorted(range(len(self.blanks)), key=lambda i: (-self.cuts[i].sizes[size], i))
                plan = _Plan(tuple(order), (rule,) * len(order))
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
        left, bottom = self.fields[kind].foot(at, self.cuts[at.blank])
        return Placement(self.blanks[at.blank].name, at.sheet, at.turn, left, bottom)

    def _fill(self, plan: _Plan) -> _Filled:
        """Pieces one by one, each on the first sheet that has room."""
        grounds: list[Ground] = []
        kinds: list[int] = []
        full: set[tuple[int, int]] = set()  # sheets on which a shape has found no room, which it will not find later
        lying: list[_Lying] = []
        missing: list[int] = []
        reach: dict[int, float] = {}
        for i in plan.order:
            at = self._first_room(i, plan.rules[i], grounds, kinds, full)
            if at is None:
                missing.append(i)
                continue
            field = self.fields[kinds[at.sheet]]
            stamp = field.stamp(self.cuts[i], at.turn)
            grounds[at.sheet].take(stamp.cells, at.place)
            lying.append(at)
            reach[at.sheet] = max(reach.get(at.sheet, 0.0), field.reach(at, stamp))
        used, last = self._used(kinds, reach)
        loose = sum(self.cuts[at.blank].grown.area for at in lying if at.sheet == last)
        return _Filled(tuple(lying), tuple(kinds), tuple(missing), used, loose)

    def _used(self, kinds: list[int], reach: dict[int, float]) -> tuple[float, int]:
        """mm2 of all sheets used, but for the longest offcut right across one of them; and which one that is."""
        if not kinds:
            return 0.0, -1
        sheets = [self.sheets[kind] for kind in kinds]
        offcuts = [max(0.0, sheet.length - reach[n]) * sheet.width for n, sheet in enumerate(sheets)]
        last = int(np.argmax(offcuts))
        return sum(sheet.length * sheet.width for sheet in sheets) - offcuts[last], last

    def _first_room(
        self, i: int, rule: _Rule, grounds: list[Ground], kinds: list[int], full: set[tuple[int, int]]
    ) -> _Lying | None:
        shape = id(self.cuts[i])
        for number, ground in enumerate(grounds):
            if (number, shape) not in full:
                if (at := self._place(i, rule, number, ground, kinds[number])) is not None:
                    return at
                full.add((number, shape))
        for kind, sheet in enumerate(self.sheets):
            if sheet.count is None or kinds.count(kind) < sheet.count:
                ground = Ground(self.fields[kind].empty)
                if (at := self._place(i, rule, len(grounds), ground, kind)) is not None:
                    grounds.append(ground)
                    kinds.append(kind)
                    return at
        return None

    def _place(self, i: int, rule: _Rule, number: int, ground: Ground, kind: int) -> _Lying | None:
        """The best place of a piece on one sheet, of all its turns; None where it does not fit."""
        best, found = -np.inf, None
        for turn in turns(self.blanks[i], self.sheets[kind]):
            stamp = self.fields[kind].stamp(self.cuts[i], turn)
            self.left -= 1
            free = ground.fits(stamp)
            if not free.any():
                continue
            liking = np.where(free, _LIKING[rule](ground, stamp, free), -np.inf)
            column, row = divmod(int(liking.argmax()), free.shape[1])
            if liking[column, row] > best:
                best, found = float(liking[column, row]), _Lying(i, number, turn, (column, row))
        return found


def _along(ground: Ground, stamp: Stamp, free: Cells, *, end: bool) -> Floats:
    """Least far along the sheet, then lowest: falls by 1 with a column, by less than 1 over all rows."""
    column = np.arange(free.shape[0])[:, None] + (stamp.cells.shape[0] if end else 0)
    return np.asarray(-(column + np.arange(free.shape[1]) / ground.taken.shape[1]))


def _low(ground: Ground, stamp: Stamp, free: Cells) -> Floats:
    row = np.arange(free.shape[1]) + stamp.cells.shape[1]
    return np.asarray(-(row + np.arange(free.shape[0])[:, None] / ground.taken.shape[0]))


def _snug(ground: Ground, stamp: Stamp, free: Cells) -> Floats:
    return np.asarray(ground.touches(stamp) + PULL * _along(ground, stamp, free, end=True) / ground.taken.shape[0])


_LIKING: dict[_Rule, Callable[[Ground, Stamp, Cells], Floats]] = {
    _Rule.SNUG: _snug,
    _Rule.REACH: lambda ground, stamp, free: _along(ground, stamp, free, end=True),
    _Rule.LEFT: lambda ground, stamp, free: _along(ground, stamp, free, end=False),
    _Rule.LOW: _low,
}


def _shared_cuts(blanks: Sequence[Blank], clear: Clearances) -> list[_Cut]:
    """One cut for all pieces of one shape."""
    known: dict[bytes, _Cut] = {}
    return [known.setdefault(shapely.to_wkb(blank.shape), _Cut(blank, clear)) for blank in blanks]


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
