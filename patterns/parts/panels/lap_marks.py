"""What a panel says of its laps: where they turn to mitres, where they lie, how they are planed and faded."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import shapely
import shapely.ops

from patterns.geometry.arrays import Floats
from patterns.hull.build import within_sentence
from patterns.hull.planking.lap_bevels import LapBevels, lap_bevels
from patterns.hull.planking.laps import lap_below_edge
from patterns.hull.planking.strakes import Corner
from patterns.hull.planking.transition import STEEPEST_LAP, overhang
from patterns.parts.panels.unrolled import Unrolled
from patterns.parts.part import Mark, Note, Part
from patterns.parts.stands import FrameStand
from patterns.units.lengths import write_length

LAP_ENDS = "lap ends"
LAP_STUB = 100.0  # mm of its line drawn in from the edge
LAP_WORDS = 30.0  # mm from that line to the words on either side of it
LAP_LINE = "lap line, on the outside"
GAIN = "gain begins"
ABOVE_MITRED = (
    "both edges are planed to the half angle. Plane the {} edge {} standing, to the dashed line, and leave that wood "
    "beyond this one."
)
BELOW_MITRED = (
    "both edges are planed to the half angle. This edge is left square, {2} past the line 'inside of {0}'. When the "
    "{0} hangs, saw the overhang off near that line, and plane the edge {1} standing from it."
)


def with_lap_ends(part: Part, panel: Unrolled, *, show: str) -> Part:
    """The panel, where laps along its edges end marked on it, and what is cut on either side of them."""
    for corner in (panel.hull.corner_above(panel.strake), panel.hull.corner_below(panel.strake)):
        if corner and panel.chines[corner.line].at:
            part = _with_lap_end(part, panel, corner, show)
    return part


def _with_lap_end(part: Part, panel: Unrolled, corner: Corner, show: str) -> Part:
    chine, on_edge = panel.chines[corner.line], corner.above is panel.strake
    assert chine.at is not None
    steepest = np.degrees([one.mitre for one in chine.joints if chine.mitred(np.array(one.from_fp))])
    angles = f"{steepest.min():.1f}° to {steepest.max():.1f}°"
    lower, upper = corner.below.name, corner.above.name
    past = write_length(float(np.nanmax(overhang(corner, chine))), show)
    words = ABOVE_MITRED.format(corner.line, angles) if on_edge else BELOW_MITRED.format(upper, angles, past)
    if chine.nowhere:
        steepest_lap = f"{np.degrees(STEEPEST_LAP):.0f}°"
        both = f"{within_sentence(upper)} and {within_sentence(lower)}"
        told = f"{both[:1].upper()}{both[1:]} turn less than {steepest_lap} all along, too little for a lap: {words}"
        return replace(part, remarks=(*part.remarks, told))
    at = chine.at.from_fp
    across = panel.mark(lambda points: np.asarray(points[..., 0] - at))
    runs = [across[::-1], across] if panel.strake.athwart else [across[::-1] if on_edge else across]
    marks = tuple(Mark(LAP_ENDS, _stub(run)) for run in runs)
    notes = tuple(
        Note(word, (float(mark.points[-1, 0] + way * LAP_WORDS), float(mark.points[-1, 1])))
        for mark in marks
        for word, way in (("MITRE", -1.0), ("LAP", 1.0))
    )
    remark = f"Abaft '{LAP_ENDS}' the {lower} laps over the {upper}; forward of it {words}"
    return replace(part, marks=(*part.marks, *marks), notes=(*part.notes, *notes), remarks=(*part.remarks, remark))


def _stub(run: Floats) -> Floats:
    """The first of a line, from its edge in."""
    line = shapely.ops.substring(shapely.LineString(run), 0.0, LAP_STUB)
    return np.asarray(shapely.get_coordinates(line))


def with_laps(part: Part, panel: Unrolled, frames: tuple[FrameStand, ...], *, show: str) -> Part:
    """The panel of a strake that is lapped over, or laps over the one below, with what the bench must know of it."""
    above, below = panel.hull.corner_above(panel.strake), panel.hull.corner_below(panel.strake)
    if above and above.lapped:
        part = _lapped_over(part, panel, above, frames, show=show)
    if below and below.lapped:
        part = _lapping(part, panel, below, show=show)
    return part


def _lapped_over(part: Part, panel: Unrolled, corner: Corner, frames: tuple[FrameStand, ...], *, show: str) -> Part:
    """The lower of two lapped strakes: the line the upper one lies down to, and the bevels along its edge."""
    lap = panel.hull.lap
    assert lap is not None
    bevels = lap_bevels(panel.hull, corner, panel.chines[corner.line])
    # Faded flush, the upper strake's edge ends as deep as the inside of the lower one.
    ends_on = panel.inside if lap.gain else panel.outside
    line = Mark(LAP_LINE, panel.line(lap_below_edge(corner.below, lap), ends_on))
    notes = tuple(_bevel_notes(part, line, bevels, frames, show))
    whole = bevels.whole
    angles, left = np.degrees(whole.angle), whole.left

    def write(length: float) -> str:
        return write_length(length, show)

    remarks = [
        f"The {corner.above.name} lies on its outside down to the lap line, {write(lap.width)} from the upper edge. "
        f"Plane the outside from that line up to the edge by {angles.min():.1f}° to {angles.max():.1f}°, figured at "
        f"each frame; the edge is left {write(float(left.min()))} to {write(float(left.max()))} thick."
    ]
    if lap.gain:
        remarks.append(
            f"Over the last {write(lap.gain)} at each end, from '{GAIN}', plane more and more away, until at the very "
            f"end nothing is left of the edge: there the {corner.above.name} lies flush."
        )
    marks = (*part.marks, line, *_gains(part, corner.line, lap.gain, down=True))
    return replace(part, marks=marks, notes=(*part.notes, *notes), remarks=(*part.remarks, *remarks))


def _lapping(part: Part, panel: Unrolled, corner: Corner, *, show: str) -> Part:
    """The upper of two lapped strakes: its lower edge lies on the lap line, square, and is thinned toward the ends."""
    lap = panel.hull.lap
    assert lap is not None
    words = f"Its lower edge, left square, lies on the lap line of the {corner.below.name}."
    if lap.gain:
        words += (
            f" Over the last {write_length(lap.gain, show)} at each end, from '{GAIN}', plane its inside along the lap "
            f"to a feather at the very end, so that it lies flush with the {corner.below.name}."
        )
    marks = (*part.marks, *_gains(part, corner.line, lap.gain, down=False))
    return replace(part, marks=marks, remarks=(*part.remarks, words))


def _bevel_notes(
    part: Part, line: Mark, bevels: LapBevels, frames: tuple[FrameStand, ...], show: str
) -> Iterator[Note]:
    """The lap's bevel and what it leaves of the edge, beside each frame's mark, inside the lap line."""
    lap = shapely.LineString(line.points)
    for frame in frames:
        run = part.mark(frame.line).points
        crossed = lap.intersection(shapely.LineString(run))
        if crossed.is_empty:
            continue
        angle, left = bevels.at(frame.place.from_fp)
        x, y = shapely.get_coordinates(crossed)[0].tolist()
        yield Note(f"lap {np.degrees(angle):.1f}°, edge {write_length(left, show)}", (x, y - LAP_WORDS / 2))


def _gains(part: Part, edge: str, gain: float, *, down: bool) -> Iterator[Mark]:
    """Short lines in from an edge where the lap begins to fade, fore and aft."""
    if not gain:
        return
    points = part.edge(edge).points
    line = shapely.LineString(points[points[:, 0].argsort()])
    for at in (gain, line.length - gain):
        start = shapely.get_coordinates(line.interpolate(at))[0]
        yield Mark(GAIN, np.stack([start, start + np.array([0.0, -LAP_STUB / 2 if down else LAP_STUB / 2])]))
