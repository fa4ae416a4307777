"""Seams of the boat: along what each panel and rail is fastened, how long, how far apart, how many, and with what."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.parts.whole import Job
from patterns.shop.fastening.panel_seams import panel_seams
from patterns.shop.fastening.rail_seams import rail_seams
from patterns.shop.fastening.rules import FastenRules
from patterns.shop.fastening.seam import Seam
from patterns.shop.router.router_rules import RouterRules


def seams(job: Job, router: RouterRules, rules: FastenRules) -> tuple[Seam, ...]:
    """Every seam of planking and rails.

    Where two rows go into one piece of wood, each fastening of the second stands midway between two of the first: the
    bottom's and the side's in a chine log, the outwale's and the side's in an inwale.
    """
    of_panels = panel_seams(job, router, rules)
    found = (*of_panels, *rail_seams(job, of_panels, router, rules))
    return tuple(one for one in found if one.count)


def fastened_places(job: Job, all_seams: Sequence[Seam]) -> dict[str, Floats]:
    """(n, 2) mm by the title of each panel, and of each piece of one: the places of its fastenings.

    A piece has those of its own seams and of the whole it is a piece of, whose axes are its own.
    """
    own: dict[str, list[Floats]] = {}
    for seam in all_seams:
        own.setdefault(seam.part, []).append(seam.places)
    whole_of = {piece.title: joined.panel.title for joined in job.long_panels.joined for piece in joined.pieces}
    titles = {*own, *whole_of}
    none = np.zeros((0, 2))
    return {
        title: np.concatenate([none, *own.get(title, []), *own.get(whole_of.get(title, ""), [])]) for title in titles
    }
