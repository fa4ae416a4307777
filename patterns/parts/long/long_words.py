"""What the sheet of a long piece says of its lengths, its ends, its fastenings and its dangers."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from patterns.parts.long.long_pieces import Arrises, EndCut, Place
from patterns.parts.part import SQUARE_WITHIN
from patterns.units.lengths import write_length, write_small

FASTENED = (
    "Fastenings along the fastening {lines}, in bored pilots, {apart} apart and 3/8 in (10 mm) from any edge at the "
    "least (common practice, no single source)."
)
AT_CHINE_APART, AT_SHEER_APART = "2 to 3 in (50 to 75 mm)", "3 to 4 in (75 to 100 mm)"
BENT = "Bent stock stores energy: clamp it before you let go, keep your face out of line, have help."


FOOT, METRE_THIRD = 304.8, 300.0  # mm between marks, for builders who measure in inches and in mm
CROWDED = 40.0  # mm; nearer to a frame or an end, a mark at even distance says nothing more


def mark_spacing(show: str) -> float:
    """mm between the marks of a long piece, by how lengths are printed."""
    return FOOT if "in" in show or "ft" in show else METRE_THIRD


def length_words(arrises: Arrises, drawn: tuple[float, float], thickness: float, show: str) -> str:
    """Lengths shoulder to shoulder on both faces, and why they are not as drawn.

    Parameters
    ----------
    drawn : (float, float)
        mm, the lower and the upper edge of the marked face laid flat.
    """
    lower, upper, far_upper, far_lower = (
        write_length(length, show) for length in (arrises.lower, arrises.upper, arrises.far_upper, arrises.far_lower)
    )
    why = _drawn_words((arrises.lower, arrises.upper), drawn, thickness, show)
    return (
        f"Shoulder to shoulder in the boat: on this face {lower} along the lower edge, {upper} along the upper; "
        f"on the far face {far_lower} and {far_upper}.{why}"
    )


def _drawn_words(in_boat: tuple[float, float], drawn: tuple[float, float], thickness: float, show: str) -> str:
    flat = [write_length(length, show) for length in drawn]
    if flat == [write_length(length, show) for length in in_boat]:
        return ""
    side = "outside" if in_boat[0] > drawn[0] else "inside"
    return f" Drawn {flat[0]} and {flat[1]}: bent, half of {write_length(thickness, show)} {side} the middle."


def end_words(end: EndCut, show: str) -> str:
    """One end: what it stands against and its two angles."""
    name = f"{end.end[:1].upper()}{end.end[1:]} against {end.against}"
    on_face = _off_square(end.on_face, "upper corner", end.upper_corner, show)
    through = _off_square(end.through, "lower corner of the far face", end.far_lower_corner, show)
    return f"{name}: across this face {on_face}; through the thickness {through}."


def _off_square(angle: float, what: str, by: float, show: str) -> str:
    if abs(angle) < SQUARE_WITHIN:
        return "square"
    told = f"{abs(float(np.degrees(angle))):.1f}° off square"
    run = write_length(abs(by), show)
    if run == write_length(0.0, show):
        return told
    return f"{told}, {what} {run} further {'aft' if by > 0 else 'forward'}"


def slope_words(places: Sequence[Place], show: str) -> str:
    """How the top slopes at every mark."""
    slopes = [
        f"{place.name or write_length(place.along, show)} {abs(np.degrees(place.slope)):.1f}°"
        f"{' outboard, holds water' if place.slope < 0 else ''}"
        for place in places
    ]
    return f"Slope of the top inboard with the boat level, at distances along the lower edge: {', '.join(slopes)}."


def planed_words(chine: str, places: Sequence[Place], show: str) -> str:
    """How far the face against the planking is planed off below a chine, at both ends and at the frames."""
    named = [("fore end", places[0]), *((p.name, p) for p in places[1:-1] if p.name), ("after end", places[-1])]
    told = [(name, f"{np.degrees(p.turn):.1f}°, {write_small(p.planed, show)}") for name, p in named]
    off = f"Below the {chine} line plane this face off by these angles, and by this much at the lower edge"
    if len({figures for _, figures in told}) == 1:
        return f"{off}: {told[0][1]} all along."
    return f"{off}: {'; '.join(f'{name} {figures}' for name, figures in told)}."
