"""The keel of a round hull in profile: from the heel of the stem to the transom, with its rabbet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from shapely import LineString, Polygon

from patterns.errors import ShapeError, while_making
from patterns.geometry.arrays import Floats, unit
from patterns.geometry.outlines import met, parallel, thinned
from patterns.hull.build import Stem
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.smooth_edges import FINEST, KeelLines, keel_lines
from patterns.parts.asked.rules import RoundKeel
from patterns.parts.edges import square_edge
from patterns.parts.part import Mark, Part
from patterns.parts.role import MarkKind, Role
from patterns.parts.stands import FrameStand, port_face
from patterns.units.lengths import write_length

PAST = 400.0  # mm that its edges are drawn past both ends, to be cut off there
NEAR_ENOUGH = 1.0  # mm; the rabbet may lie this far off the keel's side before its siding is not that of the table
LEAST_MARK = 2.0  # mm


def cut_round_keel(hull: Hull, asked: RoundKeel, stands: Sequence[FrameStand], *, show: str = "mm") -> Part:
    """The keel seen from port: x aft, y height above base. It is sided as the table's half-breadths of the rabbet say.

    Raises
    ------
    ShapeError
        A siding that is not that of the table, or no wood above or below the rabbet.
    """
    assert hull.smooth is not None
    with while_making("keel"):
        lines = keel_lines(hull.smooth)
        half = float(np.median(lines.half))
        if abs(half - asked.sided / 2) > NEAR_ENOUGH:
            raise ShapeError(
                "sided {}, but the table ends the planking at a half-breadth of {} along it: expected twice that",
                asked.sided,
                half,
            )
        if not 0.0 < asked.below < asked.moulded:
            raise ShapeError(
                "moulded {} with {} of it below the rabbet: expected some above it too", asked.moulded, asked.below
            )
        lower = _run_on(parallel(lines.rabbet, -asked.below))
        upper = _run_on(parallel(lines.rabbet, asked.moulded - asked.below))
        ends = _end_line(hull, lines, aft=False), _end_line(hull, lines, aft=True)
        try:
            lower, upper = (_between(edge, *ends) for edge in (lower, upper))
        except ShapeError as error:
            raise ShapeError(
                "moulded {} with {} of it below the rabbet: so far from the rabbet its edges do not come to both its "
                "ends; expected less",
                asked.moulded,
                asked.below,
            ) from error
    edges = (
        square_edge("lower", lower),
        square_edge("after end", np.stack([lower[-1], upper[-1]])),
        square_edge("upper", upper[::-1]),
        square_edge("fore end", np.stack([upper[0], lower[0]])),
    )
    wood = Polygon(np.concatenate([lower, upper[::-1]])).buffer(0.01)
    fine = lines.angle < FINEST
    doubts = tuple(_doubts(lines, fine, show))
    return Part(
        name="keel",
        role=Role.KEEL,
        material_key="[keel] material",
        hand="none",
        thickness=asked.sided,
        material=asked.material,
        marked_face="port face",
        edges=edges,
        marks=tuple(_marks(lines, fine, stands, wood)),
        bow="left",
        grain="along its length",
        stands_in=(port_face(asked.sided),),
        remarks=(*_remarks(asked, hull.smooth.inside - hull.smooth.outside, show), *map(_sentence, doubts)),
        doubts=doubts,
    )


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."


def _run_on(line: Floats) -> Floats:
    """A line carried on straight past both ends."""
    fore, aft = unit(line[0] - line[1]), unit(line[-1] - line[-2])
    return np.concatenate([[line[0] + PAST * fore], line, [line[-1] + PAST * aft]])


def _end_line(hull: Hull, lines: KeelLines, *, aft: bool) -> Floats:
    """(2, 2) mm, upward, what cuts it off: square to a stem's profile, plumb at a steep one's heel, or a transom."""
    end, cut = (hull.aft, hull.aft_cut) if aft else (hull.fore, hull.fore_cut)
    heel = lines.rabbet[-1 if aft else 0]
    low = float(cut.points[-1, 1])
    slope = float(cut.batten.slope(np.array([low]))[0])
    up = unit(np.array([slope, 1.0]))
    if isinstance(end, Stem):  # as the stem's foot lies; but a steep stem meets the keel in a corner, and stands on it
        across = np.array([up[1], -up[0]])
        up = (across if across[1] > 0 else -across) if abs(up[0]) > up[1] else np.array([0.0, 1.0])
    return np.stack([heel - PAST * up, heel + PAST * up])


def _between(edge: Floats, fore: Floats, aft: Floats) -> Floats:
    _, kept = met(fore, edge)
    kept, _ = met(kept, aft)
    return thinned(kept)


def _marks(lines: KeelLines, fine: Floats, stands: Sequence[FrameStand], wood: Polygon) -> Iterator[Mark]:
    yield from _clipped("rabbet line", lines.rabbet, wood)
    for name, line in (("apex line", lines.apex), ("bearding line", lines.bearding)):
        there = np.isfinite(line[:, 0]) & ~fine.astype(bool)
        # The longest run that hangs together: at both ends the planking may lie along the keel.
        runs = np.split(np.flatnonzero(there), np.flatnonzero(np.diff(np.flatnonzero(there)) > 1) + 1)
        longest = max(runs, key=len)
        if len(longest) > 1:
            yield from _clipped(name, line[longest], wood)
    low, high = wood.bounds[1], wood.bounds[3]
    for stand in stands:
        x = float(stand.face.origin[0])
        yield from _clipped(
            f"{stand.named_face} of {stand.place.name}",
            np.array([[x, low - 1.0], [x, high + 1.0]]),
            wood,
            kind=MarkKind.FRAME,
        )


def _clipped(name: str, line: Floats, wood: Polygon, kind: MarkKind = MarkKind.LINE) -> Iterator[Mark]:
    """What of a line lies on the wood."""
    found = LineString(line).intersection(wood)
    for run in getattr(found, "geoms", (found,)):
        if run.length > LEAST_MARK:
            yield Mark(name, thinned(np.asarray(run.coords)), kind)


def _doubts(lines: KeelLines, fine: Floats, show: str) -> Iterator[str]:
    if not fine.any():
        return
    turns = np.diff(np.concatenate([[0], fine.astype(int), [0]]))
    x = lines.rabbet[:, 0].tolist()
    places = " and ".join(
        _reach(write_length(x[first], show), write_length(x[last], show))
        for first, last in zip(np.flatnonzero(turns == 1), np.flatnonzero(turns == -1) - 1, strict=True)
    )
    yield (
        f"the planking lies along its side {places} from FP, within {np.degrees(FINEST):.0f}°: only the rabbet line is "
        "drawn there. Carry the other lines on with a batten, and fit that part to a piece of the planking"
    )


def _reach(first: str, last: str) -> str:
    return f"from {first} to {last}" if first != last else f"at {first}"


def _remarks(asked: RoundKeel, thick: float, show: str) -> Iterator[str]:
    yield (
        "Saw to this outline square. Mark all three lines on both sides and cut the rabbet between them. The outside "
        "of the planking meets the keel's side along the rabbet line. The apex line is the bottom corner of the "
        "groove. The inside of the planking leaves the keel at the bearding line."
    )
    below, deep = (write_length(mm, show) for mm in (asked.below, thick))
    yield f"The groove is {deep} deep, square to the planking. Below the rabbet {below} of wood is left."
    yield (
        "An end against a stem is square to its profile at the heel, or plumb where the stem is steeper than 45°: fit "
        "the stem's foot to it there. An end against a transom lies in its outer face. "
        "Moulds stand over it at their marks: where its top lies above a mould's bottom edge the mould has a notch."
    )
