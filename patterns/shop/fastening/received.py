"""Fastenings of panels and rails as they come into logs, inwales and stems, which have no line of their own."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from patterns.geometry.arrays import Floats, run_along
from patterns.geometry.short_repr import brief
from patterns.parts.part import Part
from patterns.parts.role import Role
from patterns.parts.whole import Job
from patterns.shop.fastening.on_skin import OnSkin, middle_of, on_skin
from patterns.shop.fastening.seam import Seam
from patterns.shop.fastening.staggered import where_along

INTO = (Role.LOG, Role.INWALE, Role.STEM)


@dataclass(frozen=True, slots=True, eq=False)
class Received:
    """A seam's fastenings in the part that they go into."""

    part: str  # its title
    seam: Seam
    places: Floats  # (k, 2) mm in the part's axes; along a log or an inwale on the middle of its face

    __repr__ = brief


def received(job: Job, all_seams: Sequence[Seam]) -> tuple[Received, ...]:
    """What every log, inwale and stem gets of the seams of panels and rails."""
    return tuple(one for part in job.parts if part.role in INTO for one in _into(job, part, all_seams))


def _into(job: Job, part: Part, all_seams: Sequence[Seam]) -> Iterator[Received]:
    own = on_skin(job, part)
    for seam in all_seams:
        if not _goes_into(seam, part):
            continue
        skin = on_skin(job, job.part(seam.part))
        if skin is None:
            continue
        if part.role is Role.STEM:
            yield Received(part.title, seam, skin.in_space(seam.places)[:, [0, 2]])
        elif own is not None:
            yield Received(part.title, seam, _on_face(part, own, skin.from_fp(seam.places)))


def _goes_into(seam: Seam, part: Part) -> bool:
    if part.role is Role.STEM:
        return seam.into == part.name
    hand = f", {part.hand}"
    on_this_hand = seam.part.endswith(hand) or seam.along.endswith(hand)
    return on_this_hand and (seam.into == part.name or (part.role is Role.INWALE and seam.over_inwale))


def _on_face(part: Part, own: OnSkin, from_fp: Floats) -> Floats:
    """(k, 2) mm on the middle of a long piece's face, at distances from FP; as far as the piece goes."""
    middle = middle_of(part)
    run = run_along(middle)
    at = where_along(middle, own.from_fp, from_fp)
    at = at[(at > 0) & (at < run[-1])]
    return np.stack([np.interp(at, run, middle[:, axis]) for axis in range(2)], axis=1)
