"""Bevel boards, setting up and the fit report in job.json. Lengths mm, angles degrees."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

import numpy as np

from patterns.hull.planking.transition import ChineJoint, Transition
from patterns.shop.fit.ease_twist import Eased
from patterns.shop.fit.fit_report import FitReport, PanelSkin
from patterns.shop.fit.meetings import Meeting
from patterns.shop.layout.bevel_boards import BevelBoard
from patterns.shop.layout.mould_figures import MouldFigures
from patterns.shop.layout.setting_up import SettingUp
from patterns.writing.job_json.job_bevels import bevel_figures


def board_figures(board: BevelBoard) -> dict[str, Any]:
    """One board: by edge, each line with its place and bevel."""
    return {
        "of": board.title,
        "face": board.face,
        "edges": [
            {
                "name": edge.name,
                "begins": edge.begins,
                "face": edge.face or board.face,
                "over": edge.over,
                "lines": [
                    {"number": line.number, "place": line.place, "along": line.along, **bevel_figures(line.angle)}
                    for line in edge.lines
                ],
            }
            for edge in board.edges
        ],
    }


def set_up_figures(plan: SettingUp) -> dict[str, Any]:
    return {
        "way": plan.way.value,
        "assumed": plan.assumed or None,
        "datum": plan.datum,
        "datum_name": plan.datum_name,
        "strongback_length": plan.length,
        "diagonals_from": {"from_fp": plan.fixed[0], "height": plan.fixed[1]},
        "frames": [asdict(frame) for frame in plan.frames],
        "ends": [
            {
                "name": end.name,
                "rake": float(np.degrees(end.rake)),
                "places": [asdict(place) for place in end.places],
            }
            for end in plan.ends
        ],
    }


def mould_figures_told(moulds: Sequence[MouldFigures]) -> list[dict[str, Any]]:
    return [
        {
            "name": mould.name,
            "from_fp": mould.from_fp,
            "face": mould.face,
            "lines": [
                {
                    "line": one.line,
                    "half_breadth": one.half,
                    "height": one.height,
                    "bevel": bevel_figures(one.bevel.angle),
                }
                for one in mould.places
            ],
        }
        for mould in moulds
    ]


def fit_figures(report: FitReport) -> dict[str, Any]:
    return {
        "meetings": [_meeting(one) for one in report.meetings],
        "not_held": list(report.unheld),
        "skins": [_skin(skin) for skin in report.skins],
        "chine": _chine(report.chines[-1]) if report.chines else None,
        "chines": [
            {"line": one.line, "above": one.above, "below": one.below, "joint": str(one.joint)} | _chine(one)
            for one in report.chines
        ],
        "eased": _eased(report.eased) if report.eased else None,
    }


def _chine(chine: Transition) -> dict[str, Any]:
    return {
        "lapped": chine.lapped,
        "lap_begins": _joint(chine.at) if chine.at else None,
        "widest": _joint(chine.widest),
        "fore_end": _joint(chine.stem),
        "after_end": _joint(chine.aft),
    }


def _meeting(one: Meeting) -> dict[str, Any]:
    derived = {"difference": one.difference, "by_thickness": one.by_thickness, "left": one.left}
    marks = [asdict(mark) | {"by_thickness": mark.by_thickness} for mark in one.marks]
    own = {key: value for key, value in asdict(one).items() if key not in ("line_a", "line_b")}
    return {"a": one.a, "b": one.b} | own | derived | {"seam": one.seam.value, "marks": marks}


def _skin(skin: PanelSkin) -> dict[str, Any]:
    twist, twist_x = skin.most
    radius, radius_x = skin.tightest
    return {
        "panel": skin.part.title,
        "twist": float(np.degrees(twist)),
        "twist_at": twist_x,
        "tightest_radius": radius if np.isfinite(radius) else None,
        "tightest_at": radius_x,
        "fights": [{"from": f.first, "to": f.last, "twist": float(np.degrees(f.most))} for f in skin.fights],
    }


def _joint(one: ChineJoint) -> dict[str, Any]:
    return {
        "from_fp": one.from_fp,
        "along": one.along,
        "opening": float(np.degrees(one.opening)),
        "lap": bevel_figures(one.lap),
        "mitre": bevel_figures(one.mitre),
    }


def _eased(eased: Eased) -> dict[str, Any]:
    return {
        "within": eased.within,
        "twist_before": float(np.degrees(eased.before)),
        "twist_after": float(np.degrees(eased.refaired)),
        "cured": eased.cured,
        "moves": [asdict(move) for move in eased.moves],
    }
