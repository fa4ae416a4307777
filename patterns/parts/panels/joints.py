"""Long panels made of shorter pieces: scarf, butt block or key, and what each piece and the whole pattern show of it.

A joint lies straight and square to the panel's own straight line, the one that joins the middles of its ends and along
which x runs. A scarf along a ruling might bend a little more sweetly, but each joint would have another angle; one
square to the line by which both pieces are set up can be struck, planed and checked with a square.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats
from patterns.geometry.outlines import thinned
from patterns.geometry.short_repr import brief
from patterns.parts.asked.joint_rules import JointKind, JointSizes
from patterns.parts.edges import make_edge, square_edge
from patterns.parts.hazards import EPOXY
from patterns.parts.panels.joint_lines import JointLine, toothed_line
from patterns.parts.part import Edge, Mark, Part
from patterns.parts.role import EdgeKind, MarkKind, Role

ALIGNMENT = 300.0  # mm the alignment line reaches to either side of a joint
BLOCK_PLACES = 65  # along a butt block's edges: so close that they are seen to be curves, not chords
SAME_LINE = 1.0  # mm; nearer a line that crosses the joint already, an alignment line would be taken for it
_ENDS = {JointKind.SCARF: EdgeKind.SCARF, JointKind.BUTT: EdgeKind.BUTT, JointKind.TOOTHED: EdgeKind.TOOTHED}
_NAMES = {2: ("fore piece", "after piece"), 3: ("fore piece", "middle piece", "after piece")}


@dataclass(frozen=True, slots=True, eq=False)
class Joint:
    """One joint across a panel, in the panel's axes."""

    kind: JointKind
    at: float  # mm, its middle
    overlap: float  # mm of length that both pieces share
    reach: float  # mm to either side of its middle that it and what belongs to it takes up
    fore: JointLine  # where the fore piece ends
    after: JointLine  # where the after piece begins

    __repr__ = brief


@dataclass(frozen=True, slots=True, eq=False)
class JoinedPanel:
    """A panel with its joints: the whole pattern, and the pieces it is made of."""

    panel: Part  # marked with the joints
    joints: tuple[Joint, ...]
    pieces: tuple[Part, ...]  # from forward
    blocks: tuple[Part, ...]  # butt blocks
    taken: bool  # whether the builder left the kind of joint to the program

    __repr__ = brief

    @property
    def cut(self) -> tuple[Part, ...]:
        """All that is cut for this panel."""
        return (*self.pieces, *self.blocks)


def overlap_of(kind: JointKind, thickness: float, sizes: JointSizes) -> float:
    """mm of length a joint takes of the pieces."""
    if kind is JointKind.SCARF:
        return sizes.scarf_ratio * thickness
    return tooth_depth(thickness, sizes) if kind is JointKind.TOOTHED else 0.0


def reach_of(kind: JointKind, thickness: float, sizes: JointSizes) -> float:
    """mm to either side of its middle that a joint takes up."""
    return sizes.block_reach * thickness if kind is JointKind.BUTT else overlap_of(kind, thickness, sizes) / 2


def tooth_depth(thickness: float, sizes: JointSizes) -> float:
    """mm from the necks to the heads of the teeth: long enough to hold, and for the cutter to turn twice."""
    return max(3.0 * thickness, 3.0 * sizes.cutter)


def join(panel: Part, kind: JointKind, places: Sequence[float], sizes: JointSizes, *, taken: bool) -> JoinedPanel:
    """A panel cut to pieces at places along it (mm, x of each joint's middle, from forward)."""
    joints = tuple(_joint(panel, kind, at, sizes) for at in places)
    count = len(joints) + 1
    names = _NAMES.get(count) or tuple(f"piece {n + 1} of {count} from forward" for n in range(count))
    pieces = tuple(
        _piece(panel, f"{panel.name} {name}", before, behind)
        for name, before, behind in zip(names, (None, *joints), (*joints, None), strict=True)
    )
    blocks = tuple(_block(panel, joint, sizes) for joint in joints) if kind is JointKind.BUTT else ()
    marks = tuple(mark for joint in joints for mark in _panel_marks(panel, joint))
    whole = replace(panel, marks=(*panel.marks, *marks), remarks=(*panel.remarks, _panel_words(kind, count)))
    return JoinedPanel(whole, joints, pieces, blocks, taken)


def _joint(panel: Part, kind: JointKind, at: float, sizes: JointSizes) -> Joint:
    thickness = panel.thickness
    overlap, reach = overlap_of(kind, thickness, sizes), reach_of(kind, thickness, sizes)
    if kind is JointKind.TOOTHED:
        low, high = span_at(panel, at - overlap / 2)
        clearance = sizes.tooth_clearance
        fore, after = toothed_line(at, low, high, depth=overlap, radius=sizes.cutter / 2, clearance=clearance)
        return Joint(kind, at, overlap, reach, fore, after)
    # The fore piece ends in a feather outside, the after one inside: the seam outside faces aft, water runs over it.
    return Joint(kind, at, overlap, reach, JointLine(at + overlap / 2), JointLine(at - overlap / 2))


def span_at(panel: Part, x: float) -> tuple[float, float]:
    """mm, y of the lower and the upper edge of a panel's marked face at one x."""
    y = np.sort([height for edge in panel.edges for height in _heights(edge.points, x)])
    if len(y) < 2:
        raise ShapeError(f"{panel.title}: has no wood {{}} from its fore end, so it cannot be joined there", x)
    return float(y[0]), float(y[-1])


def _heights(points: Floats, x: float) -> Floats:
    """y where a line crosses an upright one."""
    before, behind = points[:-1], points[1:]
    crosses = (before[:, 0] <= x) != (behind[:, 0] <= x)
    a, b = before[crosses], behind[crosses]
    return np.asarray(a[:, 1] + (x - a[:, 0]) / (b[:, 0] - a[:, 0]) * (b[:, 1] - a[:, 1]))


def _edges_at(panel: Part, x: float) -> tuple[str, str]:
    """Names of a panel's lower and upper edge as it is drawn: on a panel turned over the lower one is the sheer."""
    found = sorted((y, edge.name) for edge in panel.edges for y in _heights(edge.points, x))
    return found[0][1], found[-1][1]


def _piece(panel: Part, name: str, before: Joint | None, behind: Joint | None) -> Part:
    """What lies between two joints, or between one and the panel's end."""
    edges = panel.edges
    if before:
        edges = _cut_off(edges, before.after, panel, f"{before.kind}, fore end", before.kind, keep_fore=False)
    if behind:
        edges = _cut_off(edges, behind.fore, panel, f"{behind.kind}, after end", behind.kind, keep_fore=True)
    x = np.concatenate([run[:, 0] for edge in edges for run in (edge.points, edge.far)])
    low, high = float(x.min()), float(x.max())
    joints = [joint for joint in (before, behind) if joint]
    marks = (
        *panel.marks,
        *(mark for joint in joints for mark in _piece_marks(panel, joint, fore_piece=joint is behind)),
    )
    return replace(
        panel,
        name=name,
        role=Role.PANEL_PIECE,
        of=panel.title,
        edges=edges,
        marks=tuple(part for mark in marks for part in _between(mark, low, high)),
        notes=tuple(note for note in panel.notes if low < note.at[0] < high),
        remarks=tuple(_piece_words(joint, panel.thickness, fore_piece=joint is behind) for joint in joints),
    )


def _cut_off(
    edges: tuple[Edge, ...], line: JointLine, panel: Part, name: str, joint: JointKind, *, keep_fore: bool
) -> tuple[Edge, ...]:
    """Edges on one side of a joint's line, and the joint's own edge between them."""
    kept = [
        (edge, _kept(edge.points, line.x, keep_fore, panel), _kept(edge.far, line.x, keep_fore, panel))
        for edge in edges
    ]
    runs = [(edge, run, far) for edge, run, far in kept if run is not None and far is not None]
    cut: list[Edge] = []
    for place, (edge, run, far) in enumerate(runs):
        whole = run is edge.points and far is edge.far
        own = edge if whole else make_edge(edge.name, run, far, thickness=panel.thickness)
        cut.append(replace(own, kind=edge.kind, hand=edge.hand))
        _, next_run, next_far = runs[(place + 1) % len(runs)]
        if np.abs(run[-1] - next_run[0]).max() > 1e-9:
            points, back = line.between(run[-1], next_run[0]), line.between(far[-1], next_far[0])
            cut.append(replace(square_edge(name, points, kind=_ENDS[joint]), far=thinned(back)))
    return tuple(cut)


def _kept(points: Floats, x: float, fore: bool, panel: Part) -> Floats | None:
    """The run of a line on one side of an upright line; None where nothing is."""
    inside = points[:, 0] <= x if fore else points[:, 0] >= x
    if inside.all():
        return points
    if not inside.any():
        return None
    crossings = np.flatnonzero(inside[:-1] != inside[1:])
    if len(crossings) != 1:
        raise ShapeError(f"{panel.title}: an edge crosses its joint {{}} from the fore end more than once", x)
    i = int(crossings[0])
    share = (x - points[i, 0]) / (points[i + 1, 0] - points[i, 0])
    corner = points[i] + share * (points[i + 1] - points[i])
    corner[0] = x
    run = np.concatenate([points[: i + 1], [corner]]) if inside[0] else np.concatenate([[corner], points[i + 1 :]])
    # A point that stood on the line already is not there twice.
    step = np.abs(np.diff(run, axis=0)).max(axis=1) > 1e-9
    return np.asarray(run[np.concatenate([[True], step])])


def _between(mark: Mark, low: float, high: float) -> list[Mark]:
    """What of a mark lies on a piece."""
    box = (low, float(mark.points[:, 1].min()) - 1.0, high, float(mark.points[:, 1].max()) + 1.0)
    inside = shapely.clip_by_rect(shapely.LineString(mark.points), *box)
    lines = getattr(inside, "geoms", [inside])
    return [replace(mark, points=np.asarray(line.coords)) for line in lines if line.length > 1e-6]


def _alignment(panel: Part, joint: Joint) -> Mark:
    """A straight line across the joint by which both pieces are set up, half way across the panel or near there."""
    low, high = span_at(panel, joint.at)
    taken = np.concatenate([[np.inf], *(_heights(mark.points, joint.at) for mark in panel.marks)])
    # A bottom has its centre line in the middle.
    y = next(y for y in low + (high - low) * np.array([0.5, 0.3, 0.7, 0.4]) if np.abs(taken - y).min() > SAME_LINE)
    reach = ALIGNMENT
    # On a strongly curved panel a long level line would leave the wood.
    while reach > joint.reach and not _on_wood(panel, joint.at, y, reach):
        reach -= 25.0
    return Mark("alignment line", np.array([[joint.at - reach, y], [joint.at + reach, y]]))


def _on_wood(panel: Part, x: float, y: float, reach: float) -> bool:
    wood = shapely.Polygon(panel.outline)
    return bool(wood.contains(shapely.LineString([(x - reach, y), (x + reach, y)])))


def _piece_marks(panel: Part, joint: Joint, *, fore_piece: bool) -> list[Mark]:
    marks = [_alignment(panel, joint)]
    if joint.kind is JointKind.SCARF:
        begins = joint.after.x if fore_piece else joint.fore.x
        marks.append(
            replace(
                _upright(panel, begins, "scarf begins on this face" if fore_piece else "scarf begins behind"),
                kind=MarkKind.SCARF,
            )
        )
    return marks


def _panel_marks(panel: Part, joint: Joint) -> list[Mark]:
    """What the whole panel's pattern shows of a joint: its lines on the marked face, and the alignment line."""
    match joint.kind:
        case JointKind.SCARF:
            lines = [
                _upright(panel, joint.after.x, "scarf: after piece ends in a feather, inside"),
                _upright(panel, joint.fore.x, "scarf: fore piece ends in a feather, outside"),
            ]
        case JointKind.BUTT:
            lines = [
                _upright(panel, joint.at, "butt"),
                _upright(panel, joint.at - joint.reach, "butt block, fore end"),
                _upright(panel, joint.at + joint.reach, "butt block, after end"),
            ]
        case _:
            x = (joint.fore.x + joint.after.x) / 2
            low, high = span_at(panel, x)
            lines = [Mark("toothed joint", joint.fore.between(np.array([x, low]), np.array([x, high])))]
    return [*lines, _alignment(panel, joint)]


def _panel_words(kind: JointKind, count: int) -> str:
    """Why there is no pattern of a piece on paper: the whole panel's has its ends, each line named."""
    to = {
        JointKind.SCARF: "the line its feather ends at",
        JointKind.BUTT: "the butt, the block to its own lines",
        JointKind.TOOTHED: "the line of the teeth",
    }[kind]
    return f"Cut in {count} pieces. No pattern of a piece is printed: take each from this pattern, to {to}."


def _upright(panel: Part, x: float, name: str) -> Mark:
    low, high = span_at(panel, x)
    return Mark(name, np.array([[x, low], [x, high]]))


def _piece_words(joint: Joint, thickness: float, *, fore_piece: bool) -> str:
    other = "after" if fore_piece else "fore"
    line = "The ends of the alignment line, half on each piece, come into one straight line."
    match joint.kind:
        case JointKind.SCARF:
            face = "inside" if fore_piece else "outside"
            return (
                f"Scarf to the {other} piece, {joint.overlap / thickness:.3g} thicknesses long: plane the {face} face "
                "from "
                f"the line where the scarf begins down to a feather at the end. {line}"
            )
        case JointKind.BUTT:
            return f"Butts square against the {other} piece on a butt block inside. {line}"
        case _:
            return f"Keys into the {other} piece. {line}"


def _block(panel: Part, joint: Joint, sizes: JointSizes) -> Part:
    """A butt block: as the panel runs there, clear of the timbers along its long edges."""
    x = np.linspace(joint.at - joint.reach, joint.at + joint.reach, BLOCK_PLACES)
    low, high = np.array([span_at(panel, float(place)) for place in x]).T
    low, high = low + sizes.block_clear, high - sizes.block_clear
    if (high - low).min() <= 0:
        raise ShapeError(f"{panel.title}: the timbers along its edges leave no room for a butt block")
    lower, upper = np.stack([x, low], axis=1), np.stack([x, high], axis=1)[::-1]
    toward = _edges_at(panel, joint.at)
    return replace(
        panel,
        name=f"{panel.name} butt block",
        role=Role.BUTT_BLOCK,
        of=panel.title,
        upside_down=False,
        edges=(
            square_edge(f"toward {toward[0]}", lower),
            square_edge("after", np.stack([lower[-1], upper[0]])),
            square_edge(f"toward {toward[1]}", upper),
            square_edge("fore", np.stack([upper[-1], lower[0]])),
        ),
        marks=(Mark("butt", np.array([[joint.at, low[BLOCK_PLACES // 2]], [joint.at, high[BLOCK_PLACES // 2]]])),),
        notes=(),
        remarks=(
            "Glued on the inside of the panel over the butt. Trim its ends to the timbers along the edges.",
            EPOXY,
        ),
    )
