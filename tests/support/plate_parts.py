"""Parts made up for the plates' tests: the kinds a small skiff has, with every size to vary."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from patterns.geometry.arrays import Floats, run_along, unit
from patterns.parts.part import Bevel, Edge, Mark, Note, Part
from patterns.parts.role import EdgeKind, MarkKind, Role


def frame(
    *, half: float = 600.0, height: float = 560.0, side: float = 57.0, floor: float = 90.0,
    run: float = -3.0, thickness: float = 19.0, base: float = 110.0,
) -> Part:  # fmt: skip
    """A flat-bottomed skiff's frame: a U with flared sides, under or standing bevels outside, square inside."""
    flare = 0.32
    foot = half - flare * height
    low, top = base, base + height
    right = np.array([[foot, low], [half, top]])
    inner_right = np.array([[half - side, top], [foot - side + flare * floor, low + floor]])
    flip = np.array([-1.0, 1.0])
    edges = (
        _edge("bottom", np.array([[-foot, low], [foot, low]]), run / 2, thickness),
        _edge("side starboard", right, run, thickness, winding=1.6),
        _edge("top", np.array([right[1], inner_right[0]]), 0.0, thickness),
        _edge("inner", np.concatenate([inner_right, (inner_right * flip)[::-1]]), 0.0, thickness),
        _edge("top", np.array([inner_right[0] * flip, right[1] * flip]), 0.0, thickness),
        _edge("side port", (right * flip)[::-1], run, thickness, winding=1.6),
    )
    middle = (foot + half - side) / 2 + 4
    return Part(
        name="frame 3", role=Role.FRAME,
        hand="none", thickness=thickness, material="white oak", marked_face="after face",
        edges=edges, bow="away from you",
        marks=(
            Mark("center line", np.array([[0.0, low], [0.0, top]])),
            Mark("base line", np.array([[-half, 0.0], [half, 0.0]]), MarkKind.BASE),
        ),
        remarks=("This after face stands on the station line; the wood lies forward of it.",),
        notes=(
            Note("STARBOARD", (middle, base + height / 2)), Note("PORT", (-middle, base + height / 2)),
        ),
    )  # fmt: skip


def side_panel(
    *, length: float = 4400.0, depth: float = 560.0, sny: float = 150.0, frames: int = 6, run: float = -2.0,
    thickness: float = 9.5,
) -> Part:  # fmt: skip
    """A side panel with curved edges, a raked stem and frame marks across it."""
    x = np.linspace(0.0, length, 400)
    upper = np.column_stack([x, depth + sny * (2 * x / length - 1) ** 2])
    lower = np.column_stack([x + 150.0 * (1 - x / length), sny * 1.3 * (2 * x / length - 1) ** 2])
    marks = tuple(
        Mark(f"frame {number + 1}", np.array([lower[k], upper[k]]), MarkKind.FRAME)
        for number, k in enumerate(np.linspace(40, 370, frames).astype(int))
    )
    edges = (
        replace(_edge("chine", lower, run, thickness, winding=2.0), kind=EdgeKind.CHINE),
        _edge("transom", np.array([lower[-1], upper[-1]]), 1.2, thickness),
        _edge("sheer", upper[::-1], 0.0, thickness),
        _edge("stem", np.array([upper[0], lower[0]]), -4.0, thickness),
    )
    return Part(
        name="side panel", role=Role.PANEL, hand="starboard", thickness=thickness, material="marine plywood",
        marked_face="inside face", edges=edges, bow="left", marks=marks,
        notes=tuple(Note("X", (float(m.points[0, 0]) + 25, float(m.points[0, 1]) + 120)) for m in marks),
        remarks=(
            "Unrolled on the middle of its thickness. Frame lines are the faces that stand on the stations; "
            "X shows the side the frame's wood lies.",
        ),
    )  # fmt: skip


def transom(*, half: float = 580.0, height: float = 410.0, crown: float = 70.0, run: float = 3.4) -> Part:
    """A transom with a crowned top and standing bevels."""
    foot = half * 0.78
    x = np.linspace(half, -half, 81)
    edges = (
        _edge("bottom", np.array([[-foot, 0.0], [foot, 0.0]]), run * 0.8, 19.0),
        _edge("side starboard", np.array([[foot, 0.0], [half, height]]), run, 19.0, winding=1.5),
        _edge("top", np.column_stack([x, height + crown * (1 - (x / half) ** 2)]), 0.0, 19.0),
        _edge("side port", np.array([[-half, height], [-foot, 0.0]]), run, 19.0, winding=1.5),
    )
    turn = np.linspace(0.0, -2 * np.pi, 40, endpoint=False)
    hole = np.column_stack([0.55 * half + 12 * np.cos(turn), 40 + 12 * np.sin(turn)])
    return Part(
        name="transom", role=Role.TRANSOM,
        hand="none", thickness=19.0, material="white oak", marked_face="after face", edges=edges,
        bow="away from you", holes=(hole,),
        marks=(
            Mark("center line", np.array([[0.0, -20.0], [0.0, height + crown + 10]])),
            Mark("sheer", np.array([[-half, height], [half, height]])),
        ),
    )  # fmt: skip


def rail(*, length: float = 2600.0, depth: float = 32.0) -> Part:
    """A long thin piece whose edges wind."""
    x = np.linspace(0.0, length, 60)
    rise = 40 * np.sin(np.pi * x / length)
    lower, upper = np.column_stack([x, rise]), np.column_stack([x, rise + depth])
    edges = (
        _edge("lower", lower, -2.0, 19.0, winding=3.0),
        _edge("after end", np.array([lower[-1], upper[-1]]), 0.0, 19.0),
        _edge("upper", upper[::-1], 1.5, 19.0, winding=2.0),
        _edge("fore end", np.array([upper[0], lower[0]]), 0.0, 19.0),
    )
    face = "face against the planking"
    return Part("inwale", "port", 19.0, "white oak", face, edges, bow="left", count=2, role=Role.INWALE)


def _edge(name: str, points: Floats, run: float, thickness: float, *, winding: float = 1.0) -> Edge:
    """An edge whose far line lies ``run`` outside, growing to ``run * winding`` at its end."""
    length = float(run_along(points)[-1])
    at = np.linspace(0.0, length, max(2, int(np.ceil(length / 150.0)) + 1))
    runs = run * (1 + (winding - 1) * at / length)
    ahead = unit(np.gradient(points, axis=0))
    outside = np.column_stack([ahead[:, 1], -ahead[:, 0]])
    far = points + outside * np.interp(run_along(points), at, runs)[:, None]
    bevels = tuple(Bevel(float(a), float(np.arctan2(r, thickness)), float(r)) for a, r in zip(at, runs, strict=True))
    return Edge(name, points, far, bevels)
