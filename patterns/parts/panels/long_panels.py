"""Every panel of the boat that is longer than the sheets it is cut from, joined."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats
from patterns.geometry.short_repr import brief
from patterns.hull.planking.skin import Hull
from patterns.parts.asked.joint_rules import JointKind, JointRules, PanelJoints
from patterns.parts.panels.joint_places import (
    bend_of,
    check_places,
    choose_places,
    frame_zones,
    on_frames,
    too_long,
)
from patterns.parts.panels.joints import JoinedPanel, join
from patterns.parts.part import Part

DEFAULT_KIND = JointKind.SCARF


@dataclass(frozen=True, slots=True)
class LongPanels:
    """Panels with their joints, and what must be said of them, by panel."""

    joined: tuple[JoinedPanel, ...] = ()
    told: tuple[tuple[str, str], ...] = ()  # title of the panel, a sentence

    __repr__ = brief

    def marked(self, parts: Sequence[Part]) -> tuple[Part, ...]:
        """The same parts, those that are joined with their joints' marks."""
        panels = {joined.panel.title: joined.panel for joined in self.joined}
        return tuple(panels.get(part.title, part) for part in parts)


def is_panel(part: Part) -> bool:
    return bool(part.strake)


def join_long_panels(
    parts: Sequence[Part],
    hull: Hull,
    wood: Mapping[str, float],
    *,
    rules: JointRules,
    write: Callable[[float], str],
) -> LongPanels:
    """Join the panels that no sheet holds, and those whose builder asks for a joint at a place.

    Parameters
    ----------
    wood : mapping of mm
        By the name of a frame's mark, how far its wood reaches aft (or, negative, forward) of it.
    write : mm to words
        How the builder is told a length.

    Raises
    ------
    ShapeError
        A panel longer than its sheets where the builder wants no joint, or a joint that cannot be where it is asked
        for. Where the program was left to choose and finds nothing, that is told, not raised: the panel is still good
        on paper.
    """
    joined: list[JoinedPanel] = []
    told: list[tuple[str, str]] = []
    for panel in filter(is_panel, parts):
        ask = rules.of(panel.strake)
        if not too_long(panel, ask) and not ask.rule.at:
            continue
        zones = frame_zones(panel, wood)
        twins = [joint.at for other in joined if other.panel.name == panel.name for joint in other.joints]
        try:
            one = _joined(panel, ask, hull, zones, twins)
        except ShapeError as error:
            if ask.rule.kind is not None or ask.rule.at:
                raise
            told.append((panel.title, f"{error.told(write)}. It is on no sheet; its pattern is whole."))
            continue
        joined.append(one)
        crossed = on_frames([joint.at for joint in one.joints], one.joints[0].reach, zones)
        told += [(panel.title, f"its joint {write(at)} from the fore end lies on a frame") for at in crossed]
    return LongPanels(tuple(joined), tuple(told))


def _joined(panel: Part, ask: PanelJoints, hull: Hull, zones: Floats, twins: list[float]) -> JoinedPanel:
    kind = DEFAULT_KIND if ask.rule.kind is None else ask.rule.kind
    if kind is JointKind.NONE:
        length = float(np.ptp(panel.outline[:, 0]))
        raise ShapeError(
            f"{panel.title}: is {{}} long, and the longest piece of it a sheet holds is {{}}, expected {ask.table} "
            "joint = 'scarf', 'butt block' or 'toothed' in place of 'none', or a sheet in [stock] longer by {}",
            *(length, ask.sizes.longest, length - ask.sizes.longest),
        )
    if ask.rule.at:
        places = _given(ask, second=bool(twins))
        check_places(panel, ask, kind, places)
    else:
        bend = bend_of(hull.strake(panel.strake).ruled, panel)
        places = choose_places(panel, ask, kind, bend=bend, zones=zones, apart_from=twins)
    return join(panel, kind, places, ask.sizes, taken=ask.rule.kind is None)


def _given(ask: PanelJoints, *, second: bool) -> tuple[float, ...]:
    """The builder's places; on the second panel of a pair moved aft by the stagger, where he asks for one."""
    return tuple(at + ask.rule.stagger for at in ask.rule.at) if second else ask.rule.at
