"""The bare hull's weight by its parts, and how she floats, as CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.shop.afloat.floats import Afloat, Condition
from patterns.shop.afloat.weights import Spread, Weighed
from patterns.units.cells import shielded
from patterns.units.weights import write_weight
from patterns.writing.tables.layout_csv import unrounded

WEIGHTS, FLOATS = "tables/weights.csv", "tables/afloat.csv"
ABOUT_WEIGHTS = (
    "Net wood of each part in the boat by the density of its material; least, likely and most. Without fastenings, "
    "glue, paint and fittings."
)
ABOUT_FLOATS = (
    "For information only: no statement of capacity or stability. Draft and freeboard by the least, likely and "
    "greatest weight of hull; all else by the likely one. Trim is positive down by the stern; a freeboard under 0 "
    "swamps her."
)
UNITS = "Columns ending in _mm, _mm2, _mm3, _kg and _kg_m3 are unrounded."
ENDS = ("least", "likely", "most")


def weights_csv(boat: Afloat, show: str) -> str:
    """A row for each part, then all together where all can be weighed."""
    text = io.StringIO()
    out = csv.writer(text, lineterminator="\n")
    out.writerows((("about", ABOUT_WEIGHTS), ("about", UNITS), ()))
    columns = ("part", "material", *(f"weight {end}" for end in ENDS))
    figures = (
        *(f"density_{end}_kg_m3" for end in ENDS),
        "volume_mm3",
        *(f"weight_{end}_kg" for end in ENDS),
        "from_fp_mm",
        "to_starboard_mm",
        "above_base_mm",
    )
    out.writerow((*columns, *figures))
    out.writerows(tuple(_weighed(one, show)) for one in boat.hull.parts)
    if boat.hull.known:
        total, centre = boat.hull.total, boat.hull.centre
        out.writerow(("all together", "", *_shown(total, show), "", "", "", "", *_figures(total), *_placed(centre)))
    return text.getvalue()


def _weighed(one: Weighed, show: str) -> Iterator[object]:
    yield from (shielded(one.title), shielded(one.material), *_shown(one.weight, show))
    yield from (*_figures(one.density), unrounded(one.volume), *_figures(one.weight), *_placed(one.centre))


def _shown(weight: Spread | None, show: str) -> tuple[str, ...]:
    return tuple(write_weight(kg, show) for kg in (weight.least, weight.likely, weight.most)) if weight else ("",) * 3


def _placed(centre: Floats) -> Iterator[str]:
    return map(unrounded, centre.tolist())


def _figures(spread: Spread | None) -> tuple[str, ...]:
    return tuple(map(unrounded, (spread.least, spread.likely, spread.most))) if spread else ("",) * 3


def floats_csv(boat: Afloat) -> str:
    """A row for each load that comes aboard."""
    text = io.StringIO()
    out = csv.writer(text, lineterminator="\n")
    out.writerows((("about", ABOUT_FLOATS), ("about", UNITS), ()))
    out.writerow(
        (
            "aboard",
            *(f"weight_{end}_kg" for end in ENDS),
            "center_from_fp_mm",
            "center_above_base_mm",
            *(f"draft_{end}_mm" for end in ENDS),
            *(f"freeboard_{end}_mm" for end in ENDS),
            "freeboard_at_mm",
            "water_fore_end_mm",
            "water_after_end_mm",
            "trim_degrees",
            "displaced_mm3",
            "buoyancy_from_fp_mm",
            "buoyancy_above_base_mm",
            "wetted_mm2",
            "waterplane_mm2",
        )
    )
    out.writerows(tuple(_afloat(one)) for one in boat.conditions)
    return text.getvalue()


def _afloat(one: Condition) -> Iterator[object]:
    yield from (shielded(one.name), *_figures(one.weight), *list(_placed(one.centre))[::2])
    yield from (unrounded(rest.draft) if rest else "" for rest in one.floats)
    yield from (unrounded(rest.freeboard) if rest else "" for rest in one.floats)
    if rest := one.likely:
        under = rest.under
        yield from map(unrounded, (rest.least_at, *rest.marks, float(np.degrees(rest.level.trim)), under.volume))
        yield from (*list(_placed(under.centre))[::2], unrounded(under.wetted), unrounded(under.waterplane))
