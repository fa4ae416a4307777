"""Seams of rails, risers, stringers and keel: each along its own fastening line, through the planking it lies on."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
import shapely.ops

from patterns.geometry.arrays import Floats, lengths, run_along
from patterns.parts.part import Mark, Part
from patterns.parts.role import MarkKind, Role
from patterns.parts.whole import Job
from patterns.shop.fastening.on_skin import OnSkin, middle_of, on_skin, piece_of
from patterns.shop.fastening.rules import FastenRules
from patterns.shop.fastening.seam import Seam
from patterns.shop.fastening.sizes import Fastening, fastening_for
from patterns.shop.fastening.staggered import FINE, midway, where_along
from patterns.shop.router.pilots import APART, spaced
from patterns.shop.router.router_rules import RouterRules

OWN_LINE = (Role.OUTWALE, Role.RUB_RAIL, Role.STRINGER, Role.RISER, Role.KEEL_BATTEN, Role.KEELSON)
"""Long pieces fastened along a line of their own. A log or an inwale is fastened along the edge of its panel."""
NUDGE = 2.0  # mm, steps by which a fastening is moved along its line off one of the panel's
OUTSIDE = (Role.OUTWALE, Role.RUB_RAIL)


@dataclass(frozen=True, slots=True)
class _Through:
    """What a rail's fastenings go through and into, and how."""

    into: str
    how: str
    fastening: Fastening


def rail_seams(job: Job, panels: Sequence[Seam], router: RouterRules, rules: FastenRules) -> Iterator[Seam]:
    """Every rail along its fastening lines; its fastenings keep off those of the panel it lies on."""
    for part in job.parts:
        if part.role not in OWN_LINE:
            continue
        skin = on_skin(job, part)
        through = _through(job, part, rules)
        taken = _of_panel(job, part, skin, panels)
        apart = max(APART, 2 * (router.pilot or 0.0))
        for mark in part.marks:
            if mark.kind is MarkKind.FASTENED:
                mark = _over_inwale(job, part, mark, skin)
                meant = _meant(job, part, mark, skin, panels, rules)
                room = _room(part, skin, through.fastening)
                yield Seam(
                    part=part.title,
                    along=mark.name,
                    beside="",
                    into=through.into,
                    how=through.how,
                    length=float(run_along(mark.points)[-1]),
                    edge=0.0,
                    edge_from="",
                    spacing=rules.sheer_spacing,
                    places=_clear_of(meant, mark.points, taken, apart, room),
                    fastening=through.fastening,
                    over_inwale=part.role is Role.OUTWALE and job.boat.long.inwale is not None,
                )


def _through(job: Job, part: Part, rules: FastenRules) -> _Through:
    piece = piece_of(job, part)
    # A keel of a V bottom is no sprung piece: it lies on the strakes beside it, the lowest.
    planking = (piece.strake.planking if piece else job.boat.skin.planking[-1]).thickness
    long = job.boat.long
    name = part.name
    if part.role is Role.OUTWALE and long.inwale is not None:
        return _Through(
            "planking and inwale",
            f"from outside, through the {name} and the panel into the inwale, when the panel is fastened; midway "
            "between the panel's screws; one more in each end, into the stem or the transom",
            fastening_for(part.thickness, planking + long.inwale.sided, rules),
        )
    if part.role is Role.KEELSON and long.keel_batten is not None:
        return _Through(
            long.keel_batten.name,
            f"from inside, down through the {name} into the {long.keel_batten.name}, midway between its screws",
            fastening_for(part.thickness, long.keel_batten.moulded, rules),
        )
    side = "from inside" if part.role in OUTSIDE else "from outside"
    first = ", before anything inside covers the line" if part.role in OUTSIDE else ""
    return _Through(
        name,
        f"{side}, through the panel into the {name}{first}",
        fastening_for(planking, part.thickness, rules),
    )


def _over_inwale(job: Job, part: Part, mark: Mark, skin: OnSkin | None) -> Mark:
    """An outwale's fastening line as far as the inwale behind it goes: past its ends the wood is not as deep."""
    hand = part.hand
    inwale = next((one for one in job.parts if one.role is Role.INWALE and one.hand == hand), None)
    own = on_skin(job, inwale) if inwale is not None and part.role is Role.OUTWALE else None
    if inwale is None or own is None or skin is None:
        return mark
    ends = where_along(mark.points, skin.from_fp, own.from_fp(spaced(middle_of(inwale), FINE)[[0, -1]]))
    first, last = max(float(ends.min()), 0.0), float(ends.max())
    kept = shapely.ops.substring(shapely.LineString(mark.points), first, last)
    return replace(mark, points=np.asarray(kept.coords))


def _meant(job: Job, part: Part, mark: Mark, skin: OnSkin | None, panels: Sequence[Seam], rules: FastenRules) -> Floats:
    """Evenly along the line; where another row goes into the same wood, midway between its fastenings."""
    line = mark.points
    if skin is not None and (first := _first_row(job, part, panels, rules)) is not None:
        return midway(line, skin.from_fp, first, rules.sheer_spacing)
    return spaced(line, rules.sheer_spacing)


def _first_row(job: Job, part: Part, panels: Sequence[Seam], rules: FastenRules) -> Floats | None:
    """mm from FP of the fastenings that are in the same wood already."""
    long = job.boat.long
    if part.role is Role.OUTWALE and long.inwale is not None:
        sheer = [
            one for one in panels if one.beside == job.boat.offsets.lines[0] and one.part.endswith(f", {part.hand}")
        ]
        found = [(job.part(one.part), one.places) for one in sheer]
    elif part.role is Role.KEELSON and long.keel_batten is not None:
        batten = next(one for one in job.parts if one.role is Role.KEEL_BATTEN)
        lines = [mark.points for mark in batten.marks if mark.kind is MarkKind.FASTENED]
        found = [(batten, spaced(line, rules.sheer_spacing)) for line in lines]
    else:
        return None
    skins = [(on_skin(job, one), places) for one, places in found]
    known = [skin.from_fp(places) for skin, places in skins if skin is not None and len(places)]
    return np.concatenate(known) if known else None


def _of_panel(job: Job, part: Part, skin: OnSkin | None, panels: Sequence[Seam]) -> Floats:
    """(n, 2) mm in the rail's axes: fastenings of its panels, of both hands: so both rails are alike."""
    piece = piece_of(job, part)
    found = [np.zeros((0, 2))]
    for seam in panels:
        panel = next((one for one in job.parts if one.title == seam.part), None)
        if skin is None or piece is None or panel is None or panel.strake != piece.strake.name:
            continue
        on = on_skin(job, panel)
        assert on is not None
        # A bottom right across has both hands in one pattern, its centre line at y = 0.
        for side in (1.0, -1.0) if panel.hand == "none" else (1.0,):
            found.append(skin.pattern(*on.places(seam.places * (1.0, side))))
    return np.concatenate(found)


def _room(part: Part, skin: OnSkin | None, fastening: Fastening) -> Callable[[Floats], bool]:
    """Whether a fastening at a place (2,) keeps to its own side of the boat: at a stem two outwales' would meet."""

    def keeps(place: Floats) -> bool:
        if skin is None or part.role is not Role.OUTWALE:
            return True
        return float(skin.off_center(place[None], fastening.length - part.thickness)[0]) > fastening.shank

    return keeps


def _clear_of(meant: Floats, line: Floats, taken: Floats, apart: float, room: Callable[[Floats], bool]) -> Floats:
    """Each as near to its place as it can stand off those of the panel and of its own row; none where it cannot."""
    run = run_along(line)
    placed = np.zeros((0, 2))
    for place in meant:
        at = float(run[0] + _run_of(line, run, place))
        for step in sorted(np.arange(-2 * apart, 2 * apart + NUDGE, NUDGE).tolist(), key=abs):
            spot = np.array([np.interp(at + step, run, line[:, axis]) for axis in range(2)])
            others = np.concatenate([taken, placed])
            clear = not len(others) or lengths(others - spot).min() >= apart
            if 0 < at + step < run[-1] and clear and room(spot):
                placed = np.concatenate([placed, spot[None]])
                break
    return placed


def _run_of(line: Floats, run: Floats, place: Floats) -> float:
    """mm along a line of a place on it."""
    step = np.diff(line, axis=0)
    share = np.clip(((place - line[:-1]) * step).sum(axis=1) / np.maximum((step**2).sum(axis=1), 1e-12), 0.0, 1.0)
    near = int(lengths(line[:-1] + share[:, None] * step - place).argmin())
    return float(run[near] + share[near] * (run[near + 1] - run[near]))
