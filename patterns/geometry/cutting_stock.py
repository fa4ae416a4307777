"""Rectangles cut out of boards: which boards to take so that they cost least, and where each piece lies on them.

Every layout can be sawn with straight cuts from edge to edge: a board is crosscut or ripped, then each of its parts
again. Many boards are filled by a simple rule in many orders. An integer program then chooses the cheapest set of
filled boards that holds every piece. Nothing here is random: the same pieces give the same boards.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from patterns.geometry.board_filling import BoardFilling, BoardKind, Filled, Wanted
from patterns.geometry.edge_to_edge import HAIR, Laid

if TYPE_CHECKING:
    from scipy.optimize import LinearConstraint

MOST = 200  # filled boards that the integer program chooses from: those that a mixture of all of them finds cheapest
NODES = 100  # of the integer program's tree: a limit in steps, as one in seconds would change with the machine
LEFT_OUT = 1e6  # cost of leaving a piece out, in costs of the dearest board
ONE_MORE = 1e-3  # of the mean board's cost: of two sets that cost the same the one of fewer boards is taken


@dataclass(frozen=True, slots=True)
class CutBoards:
    """Boards to take, and the pieces that none of them holds."""

    boards: tuple[Filled, ...]
    left_out: tuple[int, ...]


def cut_boards(wanted: Sequence[Wanted], kinds: Sequence[BoardKind], kerf: float) -> CutBoards:
    """The cheapest boards found that hold every piece.

    Parameters
    ----------
    wanted : sequence of Wanted
        Pieces, one for each to be cut.
    kinds : sequence of BoardKind
        Boards that may be taken.
    kerf : float
        mm of wood that a cut between two pieces takes.

    Examples
    --------
    A rule that lays the longest piece first on the first board with room, and the next beside it, needs three boards
    here. Two will do.

    >>> pieces = [Wanted(length, 100.0) for length in (600.0, 300.0, 300.0, 400.0, 400.0, 400.0)]
    >>> len(cut_boards(pieces, [BoardKind(1200.0, 100.0, 1.0)], kerf=0.0).boards)
    2
    """
    shop = BoardFilling(wanted, kinds, kerf)
    able = [k for k in range(len(wanted)) if any(shop.holds(kind, k) for kind in range(len(kinds)))]
    chosen = _chosen(able, wanted, shop.columns(able), kinds) if able else []
    boards, missing = _each_once(shop, chosen, able)
    return CutBoards(boards, (*missing, *(k for k in range(len(wanted)) if k not in set(able))))


def most_of(lengths: Sequence[float], rooms: Sequence[float], room_between: float) -> tuple[int | None, ...]:
    """For each length the place of the room it is cut from, None where it finds none: as much in all as can be.

    Parameters
    ----------
    lengths : sequence of float
        mm, to be cut.
    rooms : sequence of float
        mm, of each free length of board.
    room_between : float
        mm that a cut between two lengths takes.

    Examples
    --------
    >>> most_of([6.0, 3.0, 3.0, 4.0, 4.0, 4.0], [12.0, 12.0], 0.0).count(None)
    0
    """
    from scipy.optimize import Bounds, LinearConstraint, milp

    if not lengths or not rooms:
        return (None,) * len(lengths)
    n, m = len(lengths), len(rooms)
    once, within = np.zeros((n, n * m)), np.zeros((m, n * m))
    for i, length in enumerate(lengths):
        for j in range(m):
            once[i, i * m + j] = 1.0
            within[j, i * m + j] = length + room_between
    # Of two ways to place as much, the shorter rooms are used and the longer ones kept.
    gain = np.array([length * (1.0 - ONE_MORE * room / max(rooms)) for length in lengths for room in rooms])
    found = milp(
        -gain,
        constraints=[
            LinearConstraint(once, ub=1.0),
            LinearConstraint(within, ub=np.array(rooms) + room_between + HAIR),
        ],
        integrality=np.ones(n * m, dtype=int),
        bounds=Bounds(0, 1),
        options={"node_limit": NODES * 40},
    )
    taken = np.zeros((n, m)) if found.x is None else np.round(found.x).reshape(n, m)
    return tuple(int(row.argmax()) if row.any() else None for row in taken)


def _chosen(
    pieces: Sequence[int], wanted: Sequence[Wanted], columns: Sequence[Filled], kinds: Sequence[BoardKind]
) -> list[Filled]:
    """The cheapest of the filled boards that between them have every size as often as it is wanted."""
    from scipy.optimize import Bounds, milp

    choice = _Choice(pieces, wanted, columns, kinds)
    if len(columns) > MOST:
        columns = [columns[k] for k in choice.likeliest(MOST)]
        choice = _Choice(pieces, wanted, columns, kinds)
    found = milp(
        choice.costs,
        constraints=choice.rules,
        integrality=np.ones(len(choice.costs), dtype=int),
        bounds=Bounds(0, np.inf),
        options={"node_limit": NODES},
    )
    if found.x is None:
        raise RuntimeError(f"no boards were chosen: {found.message}")
    times = np.round(found.x[: len(columns)]).astype(int)
    return [filled for filled, often in zip(columns, times, strict=True) for _ in range(often)]


class _Choice:
    """Filled boards to choose from, as an integer program has them: each size as often as it is wanted, at least."""

    def __init__(
        self, pieces: Sequence[int], wanted: Sequence[Wanted], columns: Sequence[Filled], kinds: Sequence[BoardKind]
    ) -> None:
        sizes = sorted({wanted[k] for k in pieces}, key=lambda one: (one.length, one.width))
        row_of = {size: row for row, size in enumerate(sizes)}
        self.need = np.bincount([row_of[wanted[k]] for k in pieces], minlength=len(sizes)).astype(float)
        self.held = np.zeros((len(sizes), len(columns)))
        for column, filled in enumerate(columns):
            for laid in filled.laid:
                self.held[row_of[wanted[laid.piece]], column] += 1.0
        costs = np.array([kinds[filled.kind].cost for filled in columns])
        costs = costs + ONE_MORE * max(float(costs.mean()), 1e-9)
        # A size that too few boards are left for is left out, at a cost that nothing else comes near.
        self.costs = np.concatenate([costs, np.full(len(sizes), LEFT_OUT * float(costs.max()))])
        limited = [kind for kind, one in enumerate(kinds) if one.count is not None]
        self.taken = np.array([[filled.kind == kind for filled in columns] for kind in limited], dtype=float)
        self.counts = np.array([float(kinds[kind].count or 0) for kind in limited])

    @property
    def rules(self) -> list[LinearConstraint]:
        from scipy.optimize import LinearConstraint

        out = np.eye(len(self.need))
        rules = [LinearConstraint(np.hstack([self.held, out]), lb=self.need)]
        if len(self.counts):
            none = np.zeros((len(self.counts), len(self.need)))
            rules.append(LinearConstraint(np.hstack([self.taken, none]), ub=self.counts))
        return rules

    def likeliest(self, many: int) -> list[int]:
        """The filled boards of least cost beside what their pieces cost elsewhere, if boards could be cut to shares."""
        from scipy.optimize import linprog

        sides = [np.hstack([-self.held, -np.eye(len(self.need))])]
        most = [-self.need]
        if len(self.counts):
            sides.append(np.hstack([self.taken, np.zeros((len(self.counts), len(self.need)))]))
            most.append(self.counts)
        found = linprog(self.costs, A_ub=np.vstack(sides), b_ub=np.concatenate(most))
        reduced = found.lower.marginals[: self.held.shape[1]]
        return sorted(np.lexsort((np.arange(len(reduced)), np.round(reduced, 9)))[:many].tolist())


def _each_once(
    shop: BoardFilling, chosen: Sequence[Filled], pieces: Sequence[int]
) -> tuple[tuple[Filled, ...], list[int]]:
    """Boards that have each piece once: a size that was chosen more often than it is wanted leaves its place free."""
    waiting: dict[tuple[float, float], list[int]] = {}
    for k in pieces:
        waiting.setdefault(shop.sizes[k], []).append(k)
    boards = []
    for filled in sorted(chosen, key=lambda one: (-shop.kinds[one.kind].cost, one.kind, -len(one.laid))):
        laid = []
        for one in filled.laid:
            same = waiting[shop.sizes[one.piece]]
            if same:
                laid.append(Laid(same.pop(0), one.left, one.bottom))
        if laid:
            boards.append(_on_the_cheapest(shop, Filled(filled.kind, tuple(laid))))
    return tuple(boards), [k for same in waiting.values() for k in same]


def _on_the_cheapest(shop: BoardFilling, filled: Filled) -> Filled:
    """The same pieces on a cheaper board, where there are as many of it as are needed and it holds them."""
    pieces = [laid.piece for laid in filled.laid]
    cheaper = sorted(
        (kind.cost, number)
        for number, kind in enumerate(shop.kinds)
        if kind.count is None and kind.cost < shop.kinds[filled.kind].cost
    )
    for _, number in cheaper:
        if laid := shop.fill_all(number, pieces):
            return Filled(number, laid)
    return filled
