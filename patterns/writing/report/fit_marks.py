"""Edges that meet, in words and tables: their lengths, and which marks must come together where."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patterns.shop.fit.meetings import Meeting, MeetingMark, Seam
from patterns.units.lengths import shown_step, write_at_most, write_difference, write_length, write_small
from patterns.units.tape import tape_length, tape_rounding, tape_step
from patterns.writing.report.report_blocks import Block, Link, Links, Paragraph, Table

FITS_WITHIN = 0.1  # mm; edges that come together nearer than this in the virtual boat meet
FIT_CSV = "tables/edges-that-meet.csv"
NOTHING = 0.02  # mm; less than this between two marks is below what the chords of the lines leave in doubt
TO_FRAMES = {
    Seam.FRAME_SIDES: (
        "Frames on the side panel, from the sheer down",
        "Hold the sheer mark of each frame to the upper end of its line on the panel; then its chine mark must come to "
        "{below} of the panel.",
    ),
    Seam.FRAME_BOTTOMS: (
        "Frames on the bottom panel, from the port chine mark",
        "Hold the port chine mark of each frame to the panel's line 'inside of side, port'; then its center line must "
        "come to the panel's, and its starboard chine mark to 'inside of side, starboard'.",
    ),
}


def marks_apart(meetings: Sequence[Meeting]) -> tuple[float, int]:
    """mm, the furthest apart that marks drawn on faces that touch come in the boat, and how many pairs there are."""
    apart = [mark.apart for one in meetings if not one.carried for mark in one.marks if mark.name and mark.mate]
    return max(apart, default=0.0), len(apart)


def differs(one: Meeting, show: str) -> bool:
    """Whether a pair has anything to tell: lengths or marks that differ on a tape, or edges that do not meet."""
    lengths = [one.drawn_a - one.drawn_b, *(mark.difference for mark in one.marks)]
    apart = [one.gap, *(mark.apart for mark in one.marks)]
    return max(map(abs, lengths)) >= tape_step(show) / 2 or max(apart) > FITS_WITHIN


def edge_blocks(
    meetings: Sequence[Meeting], unheld: Sequence[str], show: str, *, told: Sequence[Meeting] | None = None
) -> Iterator[Block]:
    """Every pair with its lengths, or those pairs alone that are ``told``."""
    gap = max((meeting.gap for meeting in meetings), default=0.0)
    yield Paragraph(
        "Panels and long pieces were folded back from their flat patterns and put into the boat with frames and ends. "
        f"There every two edges that meet come within {write_at_most(gap, show)} of each other.",
        "plain" if gap <= FITS_WITHIN else "caution",
    )
    yield Paragraph(
        "A panel or long piece is unrolled on the middle of its thickness, whose length bending keeps. On the hollow "
        "side of its bend a line is drawn longer than it lies in the boat, on the round side shorter. So two edges "
        "that meet are drawn of unlike lengths: that difference is thickness, and goes when they are bent. The rest "
        "would be there in the boat too."
    )
    columns = ("pair", "edge, with its mate", "long", "thickness", "rest", "apart")
    numbered = [(number, one) for number, one in enumerate(meetings, 1) if told is None or one in told]
    rows = tuple(row for number, one in numbered for row in _edge_rows(number, one, show))
    caption = (
        "Starboard, port alike. Lengths as drawn, as far as the two run together; what of their difference is "
        "thickness and what is the rest, and the most they come apart in the boat"
    )
    yield Table(caption, columns, rows, frozenset(columns[2:]))
    if unheld:
        yield Paragraph(
            f"Not held here, having no edge that must fit another as drawn: {', '.join(unheld)}. Fit them to the boat "
            "as she stands."
        )


def _edge_rows(number: int, one: Meeting, show: str) -> tuple[tuple[str, ...], ...]:
    differences = (write_difference(mm, show) for mm in (one.by_thickness, one.left))
    figures = *differences, write_small(one.gap, show)
    return (
        (str(number), one.line_a.either_hand, tape_length(one.drawn_a, show), *figures),
        ("", f"with {one.line_b.either_hand}", tape_length(one.drawn_b, show), "", "", ""),
    )


def mark_blocks(meetings: Sequence[Meeting], show: str, *, told: Sequence[Meeting] | None = None) -> Iterator[Block]:
    """Every pair with the marks that must come together when the two edges are laid to each other.

    Or those pairs alone that are ``told``.
    """
    apart, count = marks_apart(meetings)
    yield Paragraph(
        "Marks that must come together when two edges are laid to each other. In the boat the "
        f"{count} pairs drawn on faces that touch come within {write_at_most(apart, show)} of each other.",
        "plain" if apart <= FITS_WITHIN else "caution",
    )
    yield Paragraph(
        f"Figures run along each edge as drawn, with the tape bent to it, and are {tape_rounding(show)}. 'Differ' is "
        "how far the marks lie off each other with both pieces flat, the first less the second, from where the two "
        "edges begin to run together. A pair under two names has the first piece's name for it first; 'no mark' is a "
        "place where only the other bears one: it was found in the boat. Where thickness and rest do not stand apart "
        "the whole of it is thickness. Port is as starboard."
    )
    yield Links((Link("Every pair, those of long pieces too, its figures unrounded (CSV)", FIT_CSV, on_paper=False),))
    numbered = [(number, one) for number, one in enumerate(meetings, 1) if told is None or one in told]
    for seam in Seam:
        of_it = [(number, one) for number, one in numbered if one.seam is seam]
        if of_it and seam in TO_FRAMES:
            yield from _frame_blocks(seam, of_it, show)
            continue
        for number, one in of_it:
            first, second = _sentence(one.line_a.either_hand), one.line_b.either_hand
            yield Paragraph(f"Pair {number}. {first}, with {second}. {why_words(one, show)}")
            if one.marks:
                yield _marks_table(one, show)


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]


def why_words(one: Meeting, show: str) -> str:
    """Why the two are drawn of unlike lengths, what else is to be known of their marks, and if there are none."""
    told = [_drawn_words(one, show), one.told]
    if not one.marks:
        told.append("No marks of the two must meet.")
    return " ".join(words for words in told if words)


def _only_thickness(one: Meeting) -> bool:
    return all(abs(mark.left) < NOTHING for mark in one.marks)


def _drawn_words(one: Meeting, show: str) -> str:
    """How each of the two is drawn against how it lies in the boat."""
    told = [
        f"the {line.part}'s edge is drawn {write_length(abs(more), show)} {'longer' if more > 0 else 'shorter'} than "
        "it lies in "
        "the boat"
        for line, more in ((one.line_a, one.drawn_a - one.bent_a), (one.line_b, one.drawn_b - one.bent_b))
        if abs(more) >= shown_step(show) / 2
    ]
    if not told:
        return "Both are drawn as long as they lie in the boat."
    return f"For its thickness {' and '.join(told)}."


def _marks_table(one: Meeting, show: str) -> Table:
    first, second = one.line_a.part, one.line_b.part
    split = () if _only_thickness(one) else ("thickness", "rest")
    columns = ("mark", first, second, "differ", *split)
    rows = []
    for mark in one.marks:
        along = tape_length(mark.along_a, show), tape_length(mark.along_b, show)
        rows.append((mark_name(mark), *along, *_split(mark, show))[: len(columns)])
    caption = f"{_sentence(first)} from {one.from_a}, {second} from {one.from_b}"
    if max(one.begin_a, one.begin_b) >= tape_step(show) / 2:
        together = " and ".join(tape_length(mm, show) for mm in (one.begin_a, one.begin_b))
        caption += f"; they begin to run together at {together}"
    return Table(caption, columns, tuple(rows), frozenset(columns[1:]))


def mark_name(mark: MeetingMark) -> str:
    """What is marked on the one, and on the other where that has another name."""
    name, mate = (word or "no mark" for word in (mark.name, mark.mate))
    return name if name == mate else f"{name} / {mate}"


def _split(mark: MeetingMark, show: str) -> tuple[str, ...]:
    """The difference, and what of it is thickness and what the rest."""
    return tuple(write_difference(mm, show) for mm in (mark.difference, mark.by_thickness, mark.left))


def _frame_blocks(seam: Seam, numbered: Sequence[tuple[int, Meeting]], show: str) -> Iterator[Block]:
    """One table for all frames: each from the mark that is held first to those that must then come together."""
    caption, how = TO_FRAMES[seam]
    (first, one), (last, _) = numbered[0], numbered[-1]
    below = one.marks[-1].name
    how = how.format(below=f"the line '{below}'" if below.startswith("inside") else f"the {below}")
    yield Paragraph(f"Pairs {first} to {last}. {how}" if last > first else f"Pair {first}. {how}")
    split = () if all(_only_thickness(one) for _, one in numbered) else ("thickness", "rest")
    columns = ("of", "its mark", one.line_a.part, "frame", "differ", *split)
    rows = []
    for _, one in numbered:
        for place, mark in enumerate(one.marks[1:]):
            along = mark.along_a - one.begin_a, mark.along_b - one.begin_b
            name = one.line_b.part if place == 0 else ""
            row = (name, mark.mate, *(tape_length(mm, show) for mm in along), *_split(mark, show))
            rows.append(row[: len(columns)])
    yield Table(caption, columns, tuple(rows), frozenset(columns[2:]))
