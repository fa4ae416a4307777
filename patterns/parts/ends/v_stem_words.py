"""What the builder is told of a V bottom's stem."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely import Polygon

from patterns.errors import ShapeError
from patterns.hull.build import Stem
from patterns.parts.asked.end_rules import PlankEnds, StemWork
from patterns.parts.ends.v_stem import SHARP, VStem
from patterns.parts.part import Landing
from patterns.units.lengths import write_length


def v_doubts(shape: VStem, landings: tuple[Landing, ...], stem: Stem, show: str) -> Iterator[str]:
    """Where a bearding line runs out of the wood."""
    wood = Polygon(np.concatenate([shape.outer, shape.inner[::-1]])).buffer(SHARP)
    head = float(shape.outer[-1, 1])
    # Above the head the line is only carried on.
    out = [shapely.get_coordinates(shapely.LineString(line).difference(wood))[:, 1] for line in shape.beardings]
    heights = np.concatenate([np.zeros(0), *out])
    heights = heights[heights < head]
    if len(heights):
        low, high = (write_length(float(z), show) for z in (heights.min(), heights.max()))
        most = write_length(max(one.depth for one in landings), show)
        yield (
            f"the bearding line lies behind its wood between {low} and {high} above base: the planking lands up to "
            f"{most} deep, measured from the edge it ends on, and the stem is moulded "
            f"{write_length(stem.moulded, show)} behind the profile. Make it more moulded, or less sided"
        )


def v_remarks(shape: VStem, stem: Stem, work: StemWork, show: str, *, rabbet: bool, aft: bool) -> Iterator[str]:
    edge = "after edge" if aft else "fore edge"
    moulded = write_length(stem.moulded, show)
    if rabbet:
        yield (
            "Saw to this outline square. Mark all three lines on both sides and cut the rabbet between them. "
            "The outside of the planking meets the stem's side along the rabbet line. The apex line is the bottom "
            "corner of the groove. The inside of the planking leaves the stem at the bearding line."
        )
    elif shape.half < SHARP:
        _refuse_false(work)
        yield (
            "Saw to this outline square. The planks of both sides end on each other on the center plane, so the "
            f"{edge} is sharp: draw a center line down it and the bearding line on both sides, and plane each side "
            "from the bearding line to the center line."
        )
    else:
        wide = write_length(2 * shape.half, show)
        yield (
            f"Saw to this outline square. Leave the {edge} {wide} wide: draw two lines down it, each half of that off "
            "the center, draw the bearding line on both sides, and plane each side from the bearding line to its line."
        )
    if not rabbet:
        yield f"Each landing angle lies off the center plane. Angles and depths are measured square to the {edge}."
        yield f"The line 'outside of planking' is the profile of the boat. The inner face lies {moulded} behind it."
    if shape.cornered:
        yield "The profile turns sharply, so the inner face has a corner there."
    yield (
        "The foot is square to the profile at the heel. Keelson or keel batten butts against it and backs the seam "
        "from there on."
    )


def _refuse_false(work: StemWork) -> None:
    if work.ends is PlankEnds.LAPPED:
        raise ShapeError(
            "planks_end is 'second side laps the first', but the planks of a V bottom end on each other on the center "
            "plane; expected the default"
        )
    if work.false_moulded is not None:
        raise ShapeError(
            "false_moulded is given, but the planks of both sides end on each other in a sharp edge that a false stem "
            "cannot lie on; expected no false_moulded, or lines that end half a keel's siding off the center line"
        )
