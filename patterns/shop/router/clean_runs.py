"""The lines a cutter follows round a part, if they are one clean outline; else which edges cross, and where."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import shapely

from patterns.errors import ShapeError, while_making
from patterns.geometry.arrays import Floats
from patterns.geometry.outlines import line_strings
from patterns.parts.part import Part
from patterns.shop.router.cut_lines import cut_edges
from patterns.shop.router.pilots import PLANKING
from patterns.shop.router.router_rules import RouterRules

CURE = "change the sizes in boat.toml that leave this part too little wood"
OF_LINES = (
    "planking of this thickness cannot turn so sharply: round the boat's lines where these edges meet, such as the "
    "profile where the stem runs into the keel, or make the planking thinner"
)
CROSSES_WITHIN = 0.5  # mm; an edge this near to where an outline crosses itself takes part in it


def clean_runs(part: Part, rules: RouterRules) -> tuple[Floats, ...]:
    """Lines (n, 2) mm round a part, counter-clockwise, each beginning where the one before ends.

    Raises
    ------
    ShapeError
        They cross or enclose nothing: by the clearance of notches where it is the reason, else by the boat's sizes.
    """
    try:
        return _checked(part, rules)
    except ShapeError as error:
        if not rules.clearance or not _is_clean(part, replace(rules, clearance=0.0)):
            raise
        words = "clearance of {} under [router] leaves it no clean outline; expected less: make clearance smaller"
        raise ShapeError(f"{_plain(part.title)}: {words}", rules.clearance) from error


def _is_clean(part: Part, rules: RouterRules) -> bool:
    try:
        _checked(part, rules)
    except ShapeError:
        return False
    return True


def _checked(part: Part, rules: RouterRules) -> tuple[Floats, ...]:
    """A boat whose part no machine can cut is the boat's fault; arcs laid wrongly are ours and found afterwards."""
    with while_making(part.title):
        runs = cut_edges(part, rules)
        polygon = shapely.Polygon(np.concatenate([run[:-1] for run in runs]))
        if not polygon.is_valid:
            raise _crossing(part, polygon)
        for hole in part.holes:
            if len(hole) < 3 or not shapely.Polygon(hole).is_valid:
                raise ShapeError(f"the edge of its hole crosses itself; expected room for it: {CURE}")
    return runs


def _crossing(part: Part, polygon: shapely.Polygon) -> ShapeError:
    """Which of a part's edges cross, by name, and where on its pattern."""
    place = re.search(r"\[(\S+) (\S+)\]", shapely.is_valid_reason(polygon))
    if not place:
        return ShapeError(f"its edges enclose no wood; expected room for it: {CURE}")
    at = np.array([float(place[1]), float(place[2])])
    x, y = (at - part.outline.min(axis=0)).tolist()
    what = f"{_plain(_crossed(part, shapely.Point(at)))} {{}} right of its lower left corner and {{}} above it"
    cure = OF_LINES if part.role in PLANKING else CURE
    return ShapeError(f"{what}; expected edges that never cross: {cure}", x, y)


def _crossed(part: Part, point: shapely.Point) -> str:
    lines = [(line, edge.name) for edge in part.edges for line in line_strings([edge.points, edge.far])]
    away = sorted((line.distance(point), name) for line, name in lines)
    names = [name for distance, name in away if distance < CROSSES_WITHIN]
    # Both lie at the crossing to within rounding, which must not settle their order.
    match sorted(list(dict.fromkeys(names))[:2]):
        case [one, other]:
            return f"its edges '{one}' and '{other}' cross"
        case [one]:
            return f"its edge '{one}' crosses itself"
        case _:
            return "its outline crosses itself"


def _plain(name: str) -> str:
    """A name as it stands in a sentence that lengths are written into."""
    return name.replace("{", "{{").replace("}", "}}")
