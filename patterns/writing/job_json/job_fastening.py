"""Fastenings, glue and finish in job.json: lengths mm, areas mm2, places in each part's own axes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from patterns.shop.fastening.finishing import Finishing
from patterns.shop.fastening.seam import Seam


def fastening_figures(seams: Sequence[Seam], done: Finishing) -> dict[str, Any]:
    """Each hand by itself."""
    return {
        "seams": [
            {
                "part": one.part,
                "along": one.along,
                "into": one.into,
                "how": one.how,
                "length": one.length,
                "spacing": one.spacing,
                "rows": one.rows,
                "count": one.count,
                "places": one.places.tolist(),
                "fastening": {
                    "length": one.fastening.length,
                    "number": one.fastening.number,
                    "shank": one.fastening.shank,
                    "right_through": one.fastening.through,
                    "pilots": list(one.fastening.leads),
                },
            }
            for one in seams
        ],
        "joints": [
            {"name": one.name, "length": one.length, "width": one.width, "area": one.area} for one in done.joints
        ],
        "planking_outside": done.outside,
        "planking_inside": done.inside,
        "amounts": [
            {
                "what": one.what,
                "coats": one.coats,
                "g_per_m2": one.grade,
                "unit": one.unit,
                "net": list(one.net),
                "gross": list(one.gross),
            }
            for one in done.amounts
        ],
    }
