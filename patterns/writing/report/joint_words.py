"""Where panels too long for their sheets are joined, in words."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.parts.asked.joint_rules import JointKind
from patterns.parts.panels.joints import JoinedPanel
from patterns.parts.role import MarkKind
from patterns.parts.whole import Job
from patterns.plates.words.length_words import finished_words
from patterns.shop.stock.lengths import lengths_of
from patterns.units.lengths import write_length


def joints_told(job: Job) -> Iterator[str]:
    """Every joint: what kind, where, and what it makes of the panel; of two hands alike once."""
    show = job.boat.show
    told: dict[str, list[str]] = {}
    for joined in job.long_panels.joined:
        places = ", ".join(_place(joined, joint.at, show) for joint in joined.joints)
        kind = f"{joined.joints[0].kind}{' (the default)' if joined.taken else ''}"
        lengths = " and ".join(finished_words(lengths_of(piece), show) for piece in joined.pieces)
        words = f"{kind} {places}; finished lengths of the pieces {lengths}{_lost(joined, show)}"
        told.setdefault(words, []).append(joined.panel.title)
    for words, titles in told.items():
        yield f"{'; '.join(titles)}: {words}"


def _place(joined: JoinedPanel, at: float, show: str) -> str:
    """Where a joint lies, and the frames on either side."""
    marks = [(float(mark.points[:, 0].mean()), mark.name) for mark in joined.panel.marks if mark.kind is MarkKind.FRAME]
    before = max((mark for mark in marks if mark[0] <= at), default=None)
    behind = min((mark for mark in marks if mark[0] > at), default=None)
    words = f" between {before[1]} and {behind[1]}" if before and behind else ""
    return f"{write_length(at, show)} from the fore end{words}"


def _lost(joined: JoinedPanel, show: str) -> str:
    joint = joined.joints[0]
    if joint.kind is JointKind.BUTT:
        return ""
    return f", {write_length(joint.overlap, show)} of it in each joint"
