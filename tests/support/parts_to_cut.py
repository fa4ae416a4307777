"""Parts made up for the router's tests, and what is cut of them."""

from __future__ import annotations

import numpy as np
import plate_parts

from patterns.parts.asked.joint_rules import JointKind, JointSizes
from patterns.parts.panels.joints import JoinedPanel, join
from patterns.parts.part import Bevel, Edge, Mark, Part
from patterns.parts.role import EdgeKind, MarkKind, Role
from patterns.shop.router.contours import Contours
from patterns.shop.router.router_parts import contours_of
from patterns.shop.router.router_rules import RouterRules


def hollow_panel() -> Part:
    """A panel 900 long with a hollow lower edge, a lightening hole and bevels."""
    x = np.linspace(0.0, 900.0, 181)
    lower = np.column_stack([x, 60.0 * np.sin(np.pi * x / 900.0)])
    upper = np.column_stack([x[::-1], 300.0 + 40.0 * np.cos(x[::-1] / 300.0)])
    after, fore = np.array([lower[-1], upper[0]]), np.array([upper[-1], lower[0]])
    turned = ((0, 3.2), (300, -4.5), (700, 0.0))
    bevels = tuple(Bevel(along, np.radians(turn), 9.5 * np.tan(np.radians(turn))) for along, turn in turned)
    turn = np.linspace(0.0, 2 * np.pi, 361)
    hole = np.column_stack([450 + 40 * np.cos(turn), 200 + 40 * np.sin(turn)])
    square = (Bevel(0.0, 0.0, 0.0),)
    return Part(
        name="side panel",
        role=Role.PANEL,
        hand="port",
        thickness=9.5,
        material="marine plywood",
        marked_face="inside face",
        edges=(
            Edge("chine", lower, lower + np.array([0.0, 0.6]), bevels, EdgeKind.CHINE),
            Edge("transom", after, after, square),
            Edge("sheer", upper, upper, square),
            Edge("stem", fore, fore, square),
        ),
        marks=(Mark("frame 1", np.array([[300.0, 60.0], [310.0, 330.0]]), MarkKind.FRAME),),
        holes=(hole,),
    )


def made(part: Part, rules: RouterRules = RouterRules()) -> Contours:  # noqa: B008, a frozen value
    return contours_of(part, rules, boat="Test boat", show="mm")


SQUARE = (Bevel(0.0, 0.0, 0.0),)


def block(runs: tuple[float, float, float, float], *, thickness: float = 20.0) -> Part:
    """A board 300 by 200 whose far face stands out by so much at the bottom, right, top and left."""
    below, right, above, left = runs
    near = np.array([[0.0, 0], [300, 0], [300, 200], [0, 200], [0, 0]])
    far = np.array([[-left, -below], [300 + right, -below], [300 + right, 200 + above], [-left, 200 + above]])
    far = np.concatenate([far, far[:1]])
    edges = tuple(
        Edge(name, near[k : k + 2], far[k : k + 2], tuple(Bevel(a, np.arctan2(run, thickness), run) for a in (0, 100)))
        for k, (name, run) in enumerate(zip(("bottom", "right", "top", "left"), runs, strict=True))
    )
    return Part("board", "none", thickness, "oak", "after face", edges, role=Role.TRANSOM)


def notched(*, width: float = 40.0, depth: float = 60.0) -> Part:
    """A board with a slot down into its upper edge."""
    low, high = 150 - width / 2, 150 + width / 2
    runs = {
        "bottom": [[0, 0], [300, 0]],
        "right": [[300, 0], [300, 200]],
        "top": [[300, 200], [high, 200]],
        "notch for a test": [[high, 200], [high, 200 - depth], [low, 200 - depth], [low, 200]],
        "top left": [[low, 200], [0, 200]],
        "left": [[0, 200], [0, 0]],
    }
    kinds = {"notch for a test": EdgeKind.NOTCH}
    edges = tuple(
        Edge(name, np.array(run, float), np.array(run, float), SQUARE, kinds.get(name, EdgeKind.NET))
        for name, run in runs.items()
    )
    return Part("board", "none", 20.0, "oak", "after face", edges, role=Role.TRANSOM)


def joined_panel(kind: JointKind) -> JoinedPanel:
    sizes = JointSizes(longest=1e4, block_clear=40.0)
    panel = plate_parts.side_panel()
    low, high = panel.outline[:, 0].min(), panel.outline[:, 0].max()
    return join(panel, kind, [0.55 * low + 0.45 * high], sizes, taken=False)
