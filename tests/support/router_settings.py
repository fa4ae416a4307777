"""[router] drawn at random, within what a shop may ask."""

from __future__ import annotations

import random
from dataclasses import replace

from dxf_judged import LAYERS_NAMED

from patterns.shop.router.router_rules import CutTo, DxfForm, Release, Relief, RouterRules, Words


def random_rules(chance: random.Random, own: RouterRules) -> RouterRules:
    """Every key of [router] at random; ``own`` knows how thick the frames are."""
    held = chance.choice(("tabs", "skin", "nothing"))
    return replace(
        own,
        cut=chance.choice(list(CutTo)),
        cutter=chance.choice((None, chance.uniform(2, 12))),
        relief=chance.choice(list(Relief)),
        clearance=chance.choice((0.0, chance.uniform(0, 1))),
        tabs=chance.randrange(1, 12) if held == "tabs" else 0,
        tab_length=chance.uniform(3, 25),
        tab_height=1.0,
        skin=chance.uniform(0.3, 2.0) if held == "skin" else 0.0,
        index=chance.choice((None, chance.uniform(2, 14))),
        pilot=chance.choice((None, chance.uniform(1, 6))),
        pilot_edge=chance.uniform(4, 15),
        pilot_spacing=chance.uniform(20, 200),
        frame_spacing=chance.uniform(20, 200),
        words=chance.choice(list(Words)),
        form=DxfForm(chance.choice(list(Release)), chance.random() < 0.5, chance.choice(((), LAYERS_NAMED))),
    )
