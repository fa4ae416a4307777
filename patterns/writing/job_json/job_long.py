"""A long piece's own figures in job.json, beside its pattern. Lengths mm, angles degrees."""

from __future__ import annotations

from typing import Any

import numpy as np

from patterns.parts.long.long_pieces import EndCut, LongPiece, Place
from patterns.writing.job_json.job_bevels import bevel_figures


def long_figures(piece: LongPiece) -> dict[str, Any]:
    """Lengths, ends and marks of one long piece."""
    arrises = piece.arrises
    return {
        "lies": "inside the planking" if piece.inside else "outside the planking",
        "lengths": {
            "lower": arrises.lower,
            "upper": arrises.upper,
            "far_upper": arrises.far_upper,
            "far_lower": arrises.far_lower,
        },
        "ends": {end.end: _end(end) for end in (piece.fore, piece.after)},
        "marks": [_mark(place) | (_planed(place) if piece.chine else {}) for place in piece.places],
    }


def _end(end: EndCut) -> dict[str, Any]:
    return {
        "against": end.against,
        "on_face_degrees": float(np.degrees(end.on_face)),
        "through_degrees": float(np.degrees(end.through)),
        "upper_corner": end.upper_corner,
        "far_upper_corner": end.far_upper_corner,
        "far_lower_corner": end.far_lower_corner,
    }


def _mark(place: Place) -> dict[str, Any]:
    return {
        "name": place.name,
        "along_lower": place.along,
        "along_upper": place.along_upper,
        "at": place.at.tolist(),
        "aft": place.aft.tolist(),
        "out": place.out.tolist(),
        "up": place.up.tolist(),
        "lower_bevel": bevel_figures(place.lower),
        "upper_bevel": bevel_figures(place.upper),
        "slope_degrees": float(np.degrees(place.slope)),
        "edgewise_per_m": 1e3 * place.edgewise,
        "flatwise_per_m": 1e3 * place.flatwise,
        "twist_degrees_per_m": 1e3 * float(np.degrees(place.twist)),
    }


def _planed(place: Place) -> dict[str, Any]:
    """Of a log across a chine: how its face is planed off below the chine."""
    return {"planed_off_degrees": float(np.degrees(place.turn)), "planed_off_at_lower_edge": place.planed}
