"""The fit report as sections of a page: what meets, what twists, where the lap ends."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from patterns.drawing.marks import Drawing
from patterns.hull.build import Joint
from patterns.hull.planking.skin import TWIST_TOLD
from patterns.hull.planking.strakes import ONE_SURFACE
from patterns.hull.planking.transition import STEEPEST_LAP, Transition
from patterns.plates.view_field import View
from patterns.shop.fit.ease_twist import Eased, Move
from patterns.shop.fit.fit_report import FitReport, PanelSkin
from patterns.shop.fit.meetings import Seam
from patterns.shop.fit.skin_checks import SkinCheck
from patterns.units.lengths import write_at_most, write_difference, write_length, write_small
from patterns.units.tape import tape_length
from patterns.writing.report.fit_marks import differs, edge_blocks, mark_blocks, marks_apart
from patterns.writing.report.report_blocks import Block, Figure, Paragraph, Section, Table


def fit_sections(
    report: FitReport, pictures: Sequence[Drawing], show: str, eased: Sequence[View] = ()
) -> tuple[Section, ...]:
    """What is proved, in the order a builder asks it.

    Parameters
    ----------
    pictures : sequence of Drawing
        The twist of each panel.
    eased : sequence of View
        The lines before and after they are eased against twist, where they are.
    """
    if report.skin:
        return (Section("Moulds against the planking", tuple(_skin_blocks(report.skin, show))),)
    told = [one for one in report.meetings if differs(one, show)]
    alike = tuple(_alike(len(report.meetings) - len(told)))
    laps = tuple(Paragraph(transition_words(one, show)) for one in report.chines)
    return (
        Section("Edges that meet", (*edge_blocks(report.meetings, report.unheld, show, told=told), *alike)),
        Section(
            "Where marks must meet",
            tuple(mark_blocks(report.meetings, show, told=[one for one in told if one.seam is not Seam.LONG])),
        ),
        Section("Twist and bend of the sheets", tuple(_twists(report, pictures, show, eased))),
        Section("Lap and mitre along each chine" if len(laps) > 1 else "Lap and mitre along the chine", laps),
    )


HAIR = 0.005  # mm; a mould that stands so far into the planking or clear of it touches it
SKIN_WORDS = (
    "Every edge was measured from the pattern to the nearest place of the faired surface, and held against what lies "
    "between: planking, and ribbands or frames where there are any. Nothing may stand into it. Given is the face that "
    "stands nearer to the planking, place by place."
)


def _skin_blocks(checks: Sequence[SkinCheck], show: str) -> Iterator[Block]:
    """How far each mould stands into the planking, or clear of it."""
    yield Paragraph(SKIN_WORDS)
    columns = ("mould", "into the planking at most", "clear of it at most")
    rows = tuple((one.part, _least(one.into, show), _least(one.clear, show)) for one in checks)
    yield Table("Edges on the face that touches", columns, rows, frozenset(columns[1:]))


def _least(mm: float, show: str) -> str:
    """A length of which nothing may be left; what arithmetic leaves is nothing."""
    return write_small(mm, show) if mm > HAIR else "0"


def _alike(count: int) -> Iterator[Paragraph]:
    if count:
        pairs = "One more pair is" if count == 1 else f"{count} more pairs are"
        yield Paragraph(
            f"{pairs} held and not shown: on a tape no length and no mark of {'it' if count == 1 else 'them'} differs."
        )


def _twists(report: FitReport, pictures: Sequence[Drawing], show: str, eased: Sequence[View]) -> Iterator[Block]:
    for skin, picture in zip(report.skins, pictures, strict=True):
        words = skin_words(skin, show)
        if skin.fights:
            yield Paragraph(words, "caution")
        yield Figure(picture, "" if skin.fights else words)
    if report.eased:
        yield from eased_blocks(report.eased, show)
        yield from (Figure(view.drawing, f"{view.drawing.title}. {' '.join(view.notes)}") for view in eased)


def skin_words(skin: PanelSkin, show: str) -> str:
    """How much a panel twists and bends, in a sentence or two."""
    twist, _ = skin.most
    radius, x = skin.tightest
    bend = f"Bent no tighter than {tape_length(radius, show)} radius, {tape_length(x, show)} from the fore end."
    title = skin.part.title[:1].upper() + skin.part.title[1:]
    if not skin.fights:
        return f"{title}: twists under {np.degrees(TWIST_TOLD):.1f}° everywhere. {bend}"
    places = "; ".join(
        f"{np.degrees(fight.most):.1f}° from {tape_length(fight.first, show)} to {tape_length(fight.last, show)}"
        for fight in skin.fights
    )
    return (
        f"{title}: twists up to {np.degrees(twist):.1f}° along a ruling; the sheet fights at {places} from "
        f"the fore end. {bend}"
    )


def eased_blocks(eased: Eased, show: str) -> Iterator[Block]:
    """The least movement of the lines that cures the twist, or what it comes to."""
    within, before, after = write_length(eased.within, show), np.degrees(eased.before), np.degrees(eased.refaired)
    end = "cures it" if eased.cured else f"leaves {after:.1f}°, no further being allowed by fair_within"
    strake = eased.strake[:1].upper() + eased.strake[1:]
    yield Paragraph(
        f"{strake} twists {before:.1f}°. The least movement of the lines found within {within} of the table {end}. "
        "Nothing has been moved: scrieve fair BOAT --ease-twist --out DIR writes the table so, beside your own.",
        "note" if eased.cured else "caution",
    )
    columns = ("line", "in", "station", "table", "moved to", "by")
    rows = tuple((move.line, move.view, move.column, *_move_words(move, show)) for move in eased.moves)
    most = max((abs(move.by) for move in eased.moves), default=0.0)
    yield Table(
        f"Offsets moved against the twist, the most {write_at_most(most, show)}", columns, rows, frozenset(columns[3:])
    )


def _move_words(move: Move, show: str) -> tuple[str, str, str]:
    return write_length(move.given, show), write_length(move.eased, show), write_difference(move.by, show)


def transition_words(chine: Transition, show: str) -> str:
    """Where the lap of one strake over another must end, and the bevels on either side of it."""
    side, bottom = chine.above, chine.below
    if chine.joint is Joint.HALF_ANGLE:
        return _mitred_words(chine, show)
    if chine.joint is Joint.LAPPED:
        angles = np.degrees(np.pi - np.array([one.opening for one in chine.joints]))
        return (
            f"The {side} lies on the outside of the {bottom}, planed along its edge by {angles.min():.1f}° to "
            f"{angles.max():.1f}°: the panel of the {bottom} has it figured at each frame."
        )
    if not chine.lapped:
        return f"The {bottom} lies between the {side}s: there is no lap to end."
    steepest, one = f"{np.degrees(STEEPEST_LAP):.0f}°", chine.widest
    practice = f"That a lap ends at {steepest} is common practice, no single source."
    if chine.at is None:
        return (
            f"The inside faces of {side} and {bottom} open at most {np.degrees(one.opening):.1f}°, "
            f"{write_length(one.from_fp, show)} from FP, where a lapped edge is {_bevel(one.lap)}. Under {steepest} "
            f"the {bottom} may lap over the {side} from end to end: no transition joint is needed. The edge is "
            f"{_bevel(chine.stem.lap)} at the fore end, {_bevel(chine.aft.lap)} at the after end. {practice}"
        )
    at = chine.at
    overhang = (
        f"The {side}'s pattern is drawn so there and needs that wood beyond its line. The edge of the {bottom} is left "
        f"square past its inside line, to be sawn and planed to it when the {side} hangs. {practice}"
    )
    if chine.nowhere:
        return (
            f"A lapped edge would pass {steepest} as far as the after end: butt both edges on the half angle, "
            f"{_bevel(chine.aft.mitre)} there and {_bevel(chine.stem.mitre)} at the fore end. {overhang}"
        )
    return (
        f"Abaft {write_length(at.from_fp, show)} from FP, {write_length(at.along, show)} along the corner from the "
        f"fore end, the {bottom} laps over the {side}, whose edge is {_bevel(at.lap)} there. Forward of it, where the "
        f"panels are marked 'lap ends', a lapped edge would pass {steepest}: butt both edges on the half angle, "
        f"{_bevel(at.mitre)} at the transition and {_bevel(chine.stem.mitre)} at the fore end. {overhang}"
    )


def _mitred_words(chine: Transition, show: str) -> str:
    """How two strakes meet on the half angle, and where they turn too little to be held by their edges."""
    least, most = (pick(chine.joints, key=lambda one: one.mitre) for pick in (min, max))
    words = (
        f"{chine.line[:1].upper()}{chine.line[1:]}: {chine.above} and {chine.below} meet on the half angle, both edges "
        f"{_bevel(chine.stem.mitre)} at the fore end, {_bevel(chine.aft.mitre)} at the after end, between "
        f"{_bevel(least.mitre)} and {_bevel(most.mitre)} all along."
    )
    if flat := chine.hardly_turned:
        first, last = (write_length(one.from_fp, show) for one in flat)
        words += (
            f" From {first} to {last} from FP the two turn less than {np.degrees(ONE_SURFACE):.0f}° into each other, "
            "as good as one sheet: leave both edges square there, butt them and back the seam with a strap."
        )
    return words


def _bevel(angle: float) -> str:
    return f"{abs(np.degrees(angle)):.1f}° {'standing' if angle > 0 else 'under'}"


def fit_words(report: FitReport, show: str) -> Iterator[str]:
    """The report in a few lines for a terminal."""
    if report.meetings:
        gap = max(meeting.gap for meeting in report.meetings)
        apart, count = marks_apart(report.meetings)
        yield (
            f"Fit    {len(report.meetings)} pairs of edges meet within {write_at_most(gap, show)}, "
            f"their {count} "
            f"marks within {write_at_most(apart, show)}"
        )
    if report.skin:
        into = max(one.into for one in report.skin)
        into_planking = (
            f"stand into the planking by {_least(into, show)} at most" if into > HAIR else "touch the planking"
        )
        yield f"Fit    {len(report.skin)} moulds, measured against the faired surface, {into_planking}"
    for skin in report.skins:
        if skin.fights:
            yield f"       {skin_words(skin, show)}"
    if report.eased:
        for block in eased_blocks(report.eased, show):
            if isinstance(block, Paragraph):
                yield f"       {block.text}"
    for chine in report.chines:
        if chine.at:
            yield f"       {transition_words(chine, show)}"
