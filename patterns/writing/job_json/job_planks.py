"""The planks of a round hull in job.json."""

from __future__ import annotations

from typing import Any

from patterns.shop.layout.plank_figures import PlankFigures


def plank_figures_told(figures: PlankFigures) -> dict[str, Any]:
    """Lengths in mm along the inside of the planking; edges of a plank laid flat along a straight datum."""
    return {
        "planks": None if figures.strips or figures.lines.rules.ribbands else figures.lines.count,
        "places": [
            {
                "name": place.name,
                "girth": place.girth,
                "breadths": list(place.breadths),
                "from_sheer": list(place.from_sheer),
            }
            for place in figures.places
        ],
        "boards": [
            {
                "length": blank.length,
                "width": blank.breadth,
                "lower_edge": blank.lower[::8].tolist(),
                "upper_edge": blank.upper[::8].tolist(),
            }
            for blank in figures.blanks
        ],
        "strips": list(figures.strips),
        "strip_length": figures.strip_length,
    }
