"""Seams of panels: along ends, chines, sheer, keel and frames, where wood is behind them to hold a fastening."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil, fsum

import numpy as np
import shapely
import shapely.ops

from patterns.geometry.arrays import Floats, run_along
from patterns.hull.build import Stem, end_word
from patterns.parts.asked.rules import FrameKind
from patterns.parts.panels.joints import JoinedPanel
from patterns.parts.part import Edge, Mark, Part
from patterns.parts.role import EdgeKind, MarkKind, Role
from patterns.parts.whole import Job
from patterns.shop.fastening.on_skin import OnSkin, middle_of, on_skin
from patterns.shop.fastening.rules import FastenRules
from patterns.shop.fastening.seam import Seam
from patterns.shop.fastening.sizes import fastening_for
from patterns.shop.fastening.staggered import FINE, midway, where_along
from patterns.shop.router.pilots import APART, Row, fastened, held_in, rows, spaced
from patterns.shop.router.router_rules import RouterRules

BESIDE_NOTCH = 6.0  # mm from a notch of a frame to a fastening of its line. Common practice, no single source
STRIP = 0.1  # mm, breadth of what is taken out of a panel along a butt
FRAME = "frame"
FROM_EDGE = "from its planed edge"
IN_LINE = ", in line with its faces"
Hands = dict[tuple[str, str], list[Floats]]
"""By a line of the boat and a hand: mm from FP, where the first row into the wood along it has its fastenings."""


@dataclass(frozen=True, slots=True, eq=False)
class Held:
    """A row of a panel, and the wood behind it."""

    row: Row
    into: str
    behind: float | None  # mm; None where it is deep
    how: str
    line: str = ""  # of the boat, where another row goes into the same wood along it
    hand: str = "none"
    second: bool = False  # stands midway between the fastenings of that other row
    stem: bool = False  # fastenings of both hands meet in it


def panel_seams(job: Job, router: RouterRules, rules: FastenRules) -> tuple[Seam, ...]:
    """Every seam of every panel, port before starboard; of the butts of joined ones too.

    Panels that meet at a chine without a log hold no fastening in their edges: they are stitched, or glued in a lap.
    Nothing is counted into moulds: what holds planking to them comes out again.
    """
    panels = [part for part in job.parts if part.role is Role.PANEL and not part.of_boards]
    held = [list(_held(job, part, router, rules)) for part in panels]
    skins = [on_skin(job, part) for part in panels]
    first: Hands = {}
    length = _lengths(held)
    evened = [[_evened(one, length) for one in some] for some in held]
    for some, skin in zip(evened, skins, strict=True):
        for one in some:
            if one.line and not one.second and skin is not None:
                first.setdefault((one.line, one.hand), []).append(skin.from_fp(one.row.meant))
    found: list[Seam] = []
    for part, some, skin in zip(panels, evened, skins, strict=True):
        wood = _without_joints(job, part)
        safe = held_in(part, router, wood)
        placed = [_staggered(part, one, skin, first, safe) for one in some]
        for one, made in zip(placed, fastened(part, router, wood, [one.row for one in placed]), strict=True):
            found.append(_seam(job, part, one, made.places, made.clear, skin, router, rules))
    return (*found, *_butts(job, router, rules))


def _held(job: Job, part: Part, router: RouterRules, rules: FastenRules) -> Iterator[Held]:
    """Rows that have wood behind them."""
    behind = _Behind(job, part, router)
    notches = behind.notches()
    for row in rows(part, router):
        one = behind.of(row)
        if one is None:
            continue
        if one.line == job.boat.offsets.lines[0]:
            row = _respaced(row, rules.sheer_spacing)
        if one.line:
            row = behind.as_far_as_it_goes(row, one)
        if one.into == FRAME:
            row = _off_notches(row, notches)
        yield replace(one, row=row)


class _Behind:
    """What is behind the lines of one panel."""

    def __init__(self, job: Job, part: Part, router: RouterRules) -> None:
        self.job, self.part, self.router = job, part, router
        self.strake = job.hull.strake(part.strake)
        ends = ((job.hull.fore, False), (job.hull.aft, True))
        self.stems = {end_word(end, aft=aft) for end, aft in ends if isinstance(end, Stem)}
        self.transoms = {end_word(end, aft=aft) for end, aft in ends} - self.stems

    def of(self, row: Row) -> Held | None:
        """The wood behind a row; None where there is none."""
        if isinstance(row.of, Mark):
            return self._frame(row) if row.of.kind is MarkKind.FRAME else self._log(row, self.strake.upper)
        name = row.of.either_hand
        if row.of.kind is EdgeKind.CHINE:
            return self._log(row, name)
        if name == self.job.boat.offsets.lines[0]:
            return self._inwale(row)
        if self.job.hull.seam is not None and name == self.strake.lower:
            return self._keel(row)
        if name in self.stems and self.part.hand != "none":
            how = f"{self._into(name)}, midway between the screws of the other side"
            return Held(row, name, None, how, stem=True)
        return Held(row, name, None, self._into(name))

    def _into(self, what: str) -> str:
        # Square to a panel that meets it aslant, a screw would come out through a face of it.
        flat = what == FRAME or what in self.transoms
        return f"from outside, through the panel into the {what}" + (IN_LINE if flat else "")

    def _frame(self, row: Row) -> Held | None:
        frames = self.job.boat.frames
        kept = frames is not None and frames.kind is not FrameKind.MOULD
        return Held(row, FRAME, None, self._into(FRAME)) if kept else None

    def _log(self, row: Row, line: str) -> Held | None:
        """A panel above a chine lies on the face of the log; one below it, on the lower edge."""
        log = self.job.boat.long.log_at(line)
        if log is None or line not in {corner.line for corner in self.job.hull.corners}:
            return None
        below = line == self.strake.upper
        thick = (
            min(log.sided, log.moulded)
            if below and len(self.job.hull.corners) > 1
            else (log.moulded if below else log.sided)
        )
        name = f"{line} log"
        how = self._into(name) + (", midway between the screws of the panel above" if below else "")
        return Held(row, name, thick, how, line, self._hand(row.of), second=below)

    def _inwale(self, row: Row) -> Held | None:
        rails = self.job.boat.long
        if rails.inwale is None:
            return None
        covered = "; before the outwale, which covers the heads" if rails.outwale else ""
        how = self._into(rails.inwale.name) + covered
        return Held(row, rails.inwale.name, rails.inwale.sided, how, self.job.boat.offsets.lines[0], self._hand(row.of))

    def _keel(self, row: Row) -> Held | None:
        """Along the middle of a V bottom: the wood there is bevelled to it, and so is thinner off the centre plane."""
        keel = next((one for one in self.job.keels if one.on_planking), None)
        if keel is None:
            return None
        off = min(1.0, 2 * self.router.pilot_edge / keel.rules.sided)
        risen = max(place.rise for place in keel.places) * off
        return Held(row, keel.name, max(keel.rules.moulded - risen, 0.0), self._into(keel.name))

    def as_far_as_it_goes(self, row: Row, one: Held) -> Row:
        """A row no further than the log or the rail behind it: past that the end timber's own row holds the panel."""
        piece = next(
            (p for p in self.job.long_pieces if p.name == one.into and p.part.hand in (one.hand, "none")), None
        )
        skin = on_skin(self.job, self.part)
        own = on_skin(self.job, piece.part) if piece is not None else None
        if piece is None or skin is None or own is None:
            return row
        inner = spaced(middle_of(piece.part), FINE)
        ends = where_along(row.line, skin.from_fp, own.from_fp(inner[[0, -1]]))
        run = run_along(row.line)
        first, last = max(0.0, float(ends.min())), min(float(run[-1]), float(ends.max()))
        if last - first < APART:
            return replace(row, meant=row.meant[:0])
        kept = shapely.ops.substring(shapely.LineString(row.line), first, last)
        line = np.asarray(kept.coords)
        return replace(row, line=line, meant=spaced(line, row.spacing))

    def _hand(self, of: Edge | Mark) -> str:
        if self.part.hand != "none":
            return self.part.hand
        return of.hand if isinstance(of, Edge) else of.name.rpartition(", ")[2]

    def notches(self) -> shapely.Geometry:
        """Where wood inside the panel takes the place of the frames: logs, rails, keel, all that is let into them."""
        skin = on_skin(self.job, self.part)
        found = [] if skin is None else list(self._of_pieces(skin))
        keel = max((one.rules.sided for one in self.job.keels), default=0.0)
        for row in rows(self.part, self.router):
            held = self.of(row)
            log = self.job.boat.long.log_at(held.line) if held is not None and held.second else None
            if log is not None:
                found.append(shapely.LineString(row.of.points).buffer(log.sided))
            if keel and isinstance(row.of, Edge) and row.of.either_hand == self.strake.lower:
                found.append(shapely.LineString(row.of.points).buffer(keel / 2))
        return shapely.union_all(found)

    def _of_pieces(self, skin: OnSkin) -> Iterator[shapely.Geometry]:
        for piece in self.job.long_pieces:
            hands = (self.part.hand, piece.part.hand)
            beside = piece.inside and piece.strake.name == self.part.strake
            if not beside or not (hands[0] == hands[1] or "none" in hands):
                continue
            own = on_skin(self.job, piece.part)
            assert own is not None
            on = skin.pattern(*own.places(piece.part.outline))
            # Of a bottom right across, the flat is both hands': its centre line is y = 0.
            yield shapely.Polygon(on * (1.0, -1.0) if hands == ("none", "port") else on).buffer(0)


def _respaced(row: Row, spacing: float) -> Row:
    return replace(row, spacing=spacing, meant=spaced(row.line, spacing))


def _off_notches(row: Row, notches: shapely.Geometry) -> Row:
    """A frame's line where the frame itself is behind it, each run of it divided evenly."""
    left = shapely.LineString(row.line).difference(shapely.buffer(notches, BESIDE_NOTCH))
    runs = [np.asarray(run.coords) for run in shapely.get_parts(left) if run.length > BESIDE_NOTCH]
    meant = np.concatenate([np.zeros((0, 2)), *(spaced(run, row.spacing) for run in runs)])
    return replace(row, meant=meant)


def _lengths(held: Sequence[Sequence[Held]]) -> Callable[[Held], float]:
    """The longer of the two rows into one piece of wood, mm: both are divided into as many spaces."""
    of: dict[tuple[str, str, bool], list[float]] = {}
    for one in (one for some in held for one in some if one.line):
        of.setdefault((one.line, one.hand, one.second), []).append(float(run_along(one.row.line)[-1]))

    def longest(one: Held) -> float:
        own = float(run_along(one.row.line)[-1])
        both = [of.get((one.line, one.hand, second), []) for second in (False, True)]
        # In more than one run, as along a transition, neither answers to the other.
        return max(own, fsum(both[1])) if [len(some) for some in both] == [1, 1] else own

    return longest


def _evened(one: Held, length: Callable[[Held], float]) -> Held:
    """The first of two rows, no further apart than that the second keeps to the spacing too."""
    if not one.line or one.second:
        return one
    own = float(run_along(one.row.line)[-1])
    count = max(1, ceil(length(one) / one.row.spacing - 1e-9))
    return replace(one, row=replace(one.row, meant=spaced(one.row.line, own / count * (1 + 1e-9))))


def _by_hand(row: Row, skin: OnSkin, hand: str, safe: shapely.Geometry) -> Row:
    """Along a stem, each fastening midway between two of the other hand, and as many on both.

    The run that can hold one is divided: of the whole line, one hand alone would lose its last beside a corner.
    """
    runs = shapely.get_parts(shapely.LineString(row.line).intersection(safe))
    line = np.asarray(max(runs, key=shapely.length).coords) if len(runs) else row.line
    height = skin.in_space(line)[:, 2]
    upward = line if height[-1] >= height[0] else line[::-1]
    return replace(row, meant=spaced(upward, row.spacing, begun=0.25 if hand == "starboard" else 0.75))


def _staggered(part: Part, one: Held, skin: OnSkin | None, first: Hands, safe: shapely.Geometry) -> Held:
    if one.stem and skin is not None and part.hand != "none":
        return replace(one, row=_by_hand(one.row, skin, part.hand, safe))
    other = first.get((one.line, one.hand)) if one.second else None
    if other is None or skin is None:
        return one
    meant = midway(one.row.line, skin.from_fp, np.concatenate(other), one.row.spacing)
    return replace(one, row=replace(one.row, meant=meant))


def _without_joints(job: Job, part: Part) -> shapely.Geometry:
    """The panel's wood; where pieces of it meet in a butt or a key none holds a fastening."""
    wood = shapely.Polygon(part.outline).buffer(0)
    joined = next((one for one in job.long_panels.joined if one.panel.title == part.title), None)
    return wood.difference(shapely.union_all(list(_joint_strips(joined)))) if joined is not None else wood


def _joint_strips(joined: JoinedPanel) -> Iterator[shapely.Geometry]:
    for piece in joined.pieces:
        for edge in piece.edges:
            if edge.kind in (EdgeKind.BUTT, EdgeKind.TOOTHED):
                yield shapely.LineString(edge.points).buffer(STRIP / 2)


def _seam(
    job: Job,
    part: Part,
    one: Held,
    places: Floats,
    clear: shapely.Geometry,
    skin: OnSkin | None,
    router: RouterRules,
    rules: FastenRules,
) -> Seam:
    of = one.row.of
    behind = one.behind
    edge, edge_from = _off_edge(one, router)
    if one.stem and skin is not None and len(places):
        behind = float(skin.through_centre(places).min())
    if one.second and skin is not None and behind is not None and len(places):
        behind = min(behind, _through_log(job, part, one, skin.in_space(places), skin.inward(places), edge))
    return Seam(
        part=part.title,
        along=of.name if isinstance(of, Mark) else of.either_hand,
        beside=_beside(part, one),
        into=one.into,
        how=one.how,
        length=float(run_along(one.row.line)[-1]),
        edge=edge,
        edge_from=edge_from,
        spacing=one.row.spacing,
        places=places,
        fastening=fastening_for(part.thickness, behind, rules),
        clear=clear,
    )


def _through_log(job: Job, part: Part, one: Held, at: Floats, inward: Floats, edge: float) -> float:
    """mm that a fastening from below may go into a log before it comes out of the face that looks inboard.

    The log lies flat on the strake above. A fastening begins ``edge`` inboard of that strake and comes nearer to the
    far face by the cosine of the angle between the two strakes' normals for each mm.
    """
    corner = next(corner for corner in job.hull.corners if corner.line == one.line)
    log = job.boat.long.log_at(one.line)
    assert log is not None
    ruled, face = corner.above.ruled, job.hull.inside(corner.above)
    x = ruled.points(face.lower, face.depth)[:, 0]
    known = np.isfinite(x)
    order = x[known].argsort(kind="stable")
    square = [np.interp(at[:, 0], x[known][order], -ruled.normal[known][order, axis]) for axis in range(3)]
    # Of a bottom right across, the port row lies where y is negative.
    side = np.where(at[:, 1] < 0, -1.0, 1.0) if part.hand == "none" else np.ones(len(at))
    nearer = np.clip(square[0] * inward[:, 0] + square[1] * side * inward[:, 1] + square[2] * inward[:, 2], 0.0, 1.0)
    with np.errstate(divide="ignore"):
        return float(((log.sided - edge * np.sqrt(1 - nearer**2)) / nearer).min())


def _off_edge(one: Held, router: RouterRules) -> tuple[float, str]:
    """mm from what a row is marked, and from what that is."""
    of = one.row.of
    if isinstance(of, Edge):
        return router.from_edge(of.either_hand), FROM_EDGE
    if of.kind is MarkKind.FRAME:
        return router.frame_sided / 2, "into the frame from its line"
    off = shapely.LineString(one.row.line).distance(shapely.Point(of.points[len(of.points) // 2]))
    return float(off), "inboard of that line"


def _beside(part: Part, one: Held) -> str:
    """The edge that a row runs beside: of a line along the inside of a neighbour, the nearest."""
    of = one.row.of
    if isinstance(of, Edge):
        return of.either_hand
    if of.kind is MarkKind.FRAME:
        return ""
    line = shapely.LineString(of.points)
    return min(part.edges, key=lambda edge: line.hausdorff_distance(shapely.LineString(edge.points))).either_hand


def _butts(job: Job, router: RouterRules, rules: FastenRules) -> Iterator[Seam]:
    """Ends of pieces that are butted, into the block behind them."""
    for joined in job.long_panels.joined:
        if not joined.blocks:
            continue
        thickness = min(block.thickness for block in joined.blocks)
        for piece in joined.pieces:
            meant = [row for row in rows(piece, router) if isinstance(row.of, Edge) and row.of.kind is EdgeKind.BUTT]
            for made in fastened(piece, router, shapely.Polygon(piece.outline).buffer(0), meant):
                yield Seam(
                    part=piece.title,
                    along=made.row.of.name,
                    beside="",
                    into="butt block",
                    how="from outside, through the panel into the butt block",
                    length=float(run_along(made.row.line)[-1]),
                    edge=router.pilot_edge,
                    edge_from=FROM_EDGE,
                    spacing=made.row.spacing,
                    places=made.places,
                    fastening=fastening_for(piece.thickness, thickness, rules),
                    clear=made.clear,
                )
