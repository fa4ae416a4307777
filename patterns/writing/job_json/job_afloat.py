"""A boat's weight and how she floats, as job.json has them: kg, mm, mm2, mm3 and degrees."""

from __future__ import annotations

from typing import Any

import numpy as np

from patterns.shop.afloat.floats import Afloat, Condition, Float
from patterns.shop.afloat.weights import Spread


def afloat_figures(boat: Afloat) -> dict[str, Any]:
    """The bare hull by its parts, and the boat afloat with each load that comes aboard."""
    hull = boat.hull
    return {
        "water": str(boat.rules.water),
        "water_density": boat.rules.water.density,
        "parts": [
            {
                "part": one.title,
                "material": one.material,
                "volume": one.volume,
                "density": _spread(one.density),
                "weight": _spread(one.weight),
                "center": one.centre.tolist(),
            }
            for one in hull.parts
        ],
        "not_weighed": list(hull.left_out),
        "no_density": [{"material": one.material, "key": one.key, "parts": list(one.parts)} for one in hull.no_density],
        "weight": _spread(hull.total) if hull.known else None,
        "center": hull.centre.tolist() if hull.known else None,
        "afloat": [_condition(one) for one in boat.conditions],
    }


def _spread(spread: Spread | None) -> dict[str, float] | None:
    return None if spread is None else {"least": spread.least, "likely": spread.likely, "most": spread.most}


def _condition(one: Condition) -> dict[str, Any]:
    return {
        "aboard": one.name,
        "weight": _spread(one.weight),
        "center": one.centre.tolist(),
        "swamps": one.swamps,
        **dict(zip(("lightest", "likely", "heaviest"), map(_float, one.floats), strict=True)),
    }


def _float(rest: Float | None) -> dict[str, Any] | None:
    """None where no level bears the weight."""
    if rest is None:
        return None
    under = rest.under
    return {
        "draft": rest.draft,
        "planking_draft": rest.planking_draft,
        "freeboard": rest.freeboard,
        "freeboard_at": rest.least_at,
        "freeboard_fore_end": rest.ends[0],
        "freeboard_after_end": rest.ends[1],
        "water_fore_end": rest.marks[0],
        "water_after_end": rest.marks[1],
        "trim": float(np.degrees(rest.level.trim)),
        "displaced": under.volume,
        "buoyancy": under.centre.tolist(),
        "wetted": under.wetted,
        "waterplane": under.waterplane,
    }
