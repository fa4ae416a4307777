"""The book's table of the planking: every strake, and how each meets its neighbours."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.hull.build import Joint, KeelJoint, Skin, within_sentence
from patterns.units.lengths import write_length

_KEEL = {
    KeelJoint.HALF_ANGLE: "port and starboard meet on the center line, both edges planed to half the angle",
    KeelJoint.ON_KEEL: "on the faces of the keel",
    KeelJoint.RABBET: "in a rabbet",
}


def planking_rows(skin: Skin, show: str) -> Iterator[tuple[str, str, str]]:
    """What it is, how thick it is as measured, and its material; of a seam, how it is made."""
    for name, planking in skin.named:
        yield "planking" if skin.smooth else name, write_length(planking.thickness, show), planking.material
    for layer in skin.layers:
        where = "between planking and moulds" if layer.on_moulds else "layer of the planking"
        yield f"{where}: {layer.name}", write_length(layer.thickness, show), ""
    for (above, _), (below, _), joint in zip(skin.named, skin.named[1:], skin.joints, strict=False):
        yield f"{below} to {above}", "", _meet(skin, above, below, joint, show)
    if skin.keel:
        yield "along the keel", "", _KEEL[skin.keel]


def _meet(skin: Skin, above: str, below: str, joint: Joint, show: str) -> str:
    upper, lower = within_sentence(above), within_sentence(below)
    match joint:
        case Joint.HALF_ANGLE:
            return "both edges planed to half the angle"
        case Joint.LOWER_OVER:
            return f"{lower} lies over the edge of {upper}"
        case Joint.UPPER_OVER:
            return f"{upper} lies over the edge of {lower}"
        case Joint.LAPPED:
            width = f" by {write_length(skin.lap.width, show)}" if skin.lap else ""
            return f"{upper} laps {lower}{width}"
