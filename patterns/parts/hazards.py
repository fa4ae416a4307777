"""Sentences on what can hurt, printed where the work is told: glue, lifting, ripping, bending. Common practice."""

from __future__ import annotations

import re
from collections.abc import Iterable

EPOXY = "Epoxy: gloves and sleeves, fresh air, small lots; read the maker's sheet."
LIFTING = "Lift with help. Turn the hull with help, over padding, with hands and feet clear of it."
RIPPING = (
    "Never saw freehand at a tilt. Cut the piece free last, from stock wide enough to hold; support both sides and the "
    "part that falls; wedge the kerf; stand out of line; guards stay on. A tilted shoe is less steady; strips pinch, "
    "sag and kick. Let the blade stop before you lift the saw; unplug it to set or change the tilt. "
    "Guard hearing, eyes and lungs. Shapes only, not strength: follow local codes, your saw's own instructions and a "
    "licensed professional."
)
BENDING = (
    "Bent stock stores energy: clamp it before you let go, keep your face out of line, have help with long pieces, "
    "cover your eyes. Steam and hot water burn; clamps and forms creak before they fail. Shapes only, not strength: "
    "follow local codes and a licensed professional."
)
GLUED = re.compile(r"\b(glu|laminat)", re.IGNORECASE)


def says_glue(texts: Iterable[str]) -> bool:
    """Whether any of some words has to do with glue, so that their sheet needs its caution.

    >>> says_glue(["Saw to the line.", "Fit it dry before you glue."])
    True
    """
    return any(GLUED.search(text) for text in texts)
