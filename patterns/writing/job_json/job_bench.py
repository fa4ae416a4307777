"""Bench work on a long piece in job.json: how it bends, where it lies on a board, how it is ripped. mm, degrees."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from patterns.geometry.outlines import thinned
from patterns.shop.saw.bend_verdict import BendVerdict
from patterns.shop.saw.board_layout import BoardPlace, LeastBoard
from patterns.shop.saw.edge_views import mark_names
from patterns.shop.saw.guide import BladeFit
from patterns.shop.saw.guide_room import guide_room
from patterns.shop.saw.long_bench import BenchPiece
from patterns.shop.saw.saw_setup import Rip, SawSetup, Setting
from patterns.shop.saw.scarfs import ScarfPlan


def bench_figures(made: BenchPiece) -> dict[str, Any]:
    """What is added to a long piece's own figures; null where the builder has no saw or no such board."""
    return {
        "bend": _bend(made.bend),
        "least_board": _least(made.least),
        "board": _place(made.place) if made.place else None,
        "beside_the_other_hand": made.with_other is not None,
        "will_not_do": [{"board": one.number, "for": one.lack.value} for one in made.refused],
        "scarfs": {**_scarfs(made.scarfs), "lengths_missing": list(made.missing)} if made.scarfs else None,
        "saw": [_rip(made.setup, rip, made.place) for rip in made.setup.rips] if made.setup else None,
    }


def _finite(value: float) -> float | None:
    """JSON has no infinity: a straight line has no radius."""
    return value if math.isfinite(value) else None


def _bend(bend: BendVerdict) -> dict[str, Any]:
    layers = bend.layers
    return {
        "verdict": bend.way.value,
        "flatwise": {
            "radius": _finite(bend.flat_radius),
            "over_thickness": _finite(bend.flat_ratio),
            "at": bend.flat_at.along,
        },
        "edgewise": {
            "radius": _finite(bend.edge_radius),
            "over_width": _finite(bend.edge_ratio),
            "edge_set": bend.edge_set,
            "at": bend.edge_at.along,
        },
        "twist_degrees_per_m": 1e3 * float(np.degrees(bend.twist)),
        "wood": bend.wood.species if bend.wood else None,
        "share_of_breaking_strain": bend.share,
        "strength_left": bend.strength,
        "moisture_percent": bend.moisture,
        "share_with_run_out": bend.strained,
        "laminate": None
        if layers is None
        else {
            "layers": layers.count,
            "thickness": layers.thickness,
            "strip": layers.strip,
            "springs_back": layers.springs_back,
            "form_depth": layers.form.depth,
            "form_chord": layers.form.chord,
        },
        "sawn_flatwise_from": bend.sawn_from,
    }


def _least(least: LeastBoard) -> dict[str, Any]:
    return {
        "length": least.length,
        "width": least.width,
        "width_for_both_hands": least.pair_width,
        "thickness": least.thickness,
        "grain_1_in": _finite(least.one_in),
    }


def _place(place: BoardPlace) -> dict[str, Any]:
    return {
        "board": place.number,
        "of_boards_alike": place.span.copy,
        "turned_over": place.turned_over,
        "end_for_end": place.end_for_end,
        "along": place.along,
        "across": place.across,
        "turn_degrees": float(np.degrees(place.turn)),
        "grain_1_in": _finite(place.one_in),
        "strength_left": place.strength,
        "both_hands_apart": place.pair,
    }


def _scarfs(plan: ScarfPlan) -> dict[str, Any]:
    return {
        "ratio": plan.ratio,
        "length": plan.length,
        "boards": list(plan.boards),
        "gross": plan.gross,
        "places": [
            {"middle": one.middle, "bay": one.bay, "clear_of_frames": one.clear, "radius": _finite(one.radius)}
            for one in plan.scarfs
        ],
    }


def _rip(setup: SawSetup, rip: Rip, place: BoardPlace | None) -> dict[str, Any]:
    own, room = rip.setting, guide_room(rip, place)
    marks = [
        {"name": name, "x": x, "beyond_net": beyond, "plane_upper_face": up, "plane_lower_face": down, "width": width}
        for name, x, beyond, up, down, width in zip(
            mark_names(setup.piece),
            rip.x.tolist(),
            *(own.at(rip.x, values).tolist() for values in (own.beyond, own.plane_up, own.plane_down)),
            setup.width.tolist(),
            strict=True,
        )
    ]
    return {
        "order": rip.order,
        "edge": rip.edge.name,
        "face_up": rip.edge.up,
        "guide_on": "the piece's side" if rip.guide_on_piece else "the rest of the board",
        "guide_above": rip.guide_side > 0,
        "push": None if rip.toward_aft is None else "aft" if rip.toward_aft else "forward",
        "least_waste_degrees": float(np.degrees(rip.wanted)),
        "wood_for_guide": {"wants": room.wants, "has": room.has} if room else None,
        **_setting(own),
        "ranges": [_setting(one) for one in rip.ranges],
        "marks": marks,
    }


def _setting(setting: Setting) -> dict[str, Any]:
    return {
        "from": setting.first,
        "to": setting.last,
        "tilt_degrees": float(np.degrees(setting.tilt)),
        "leaves_lower_face_aside": setting.aside,
        "guide_distance": setting.distance,
        "stand_off_most": float(np.abs(setting.stand_off).max()),
        "saw_line": thinned(setting.saw_line).tolist(),
        "foot_line": thinned(setting.foot_line).tolist(),
        "guide_line": None if setting.guide_line is None else thinned(setting.guide_line).tolist(),
        "blade": _blade(setting.blade),
    }


def _blade(blade: BladeFit) -> dict[str, Any]:
    return {
        "depth": blade.depth,
        "chord": blade.chord,
        "sag": blade.sag,
        "clearance": blade.clearance,
        "tightest_radius": _finite(blade.tightest),
        "least_radius": _finite(blade.least),
        "follows": blade.follows and not blade.too_deep,
    }
