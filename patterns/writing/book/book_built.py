"""The job book's section on the boat as she stands."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patterns.plates.old_and_new import old_and_new
from patterns.plates.view_field import View
from patterns.plates.words.built_words import (
    DRESSING_COLUMNS,
    OUT_COLUMNS,
    changed_words,
    dressing_rows,
    leaning,
    one_sided,
    out_row,
    told_of_built,
)
from patterns.shop.built.as_built import AsBuilt
from patterns.units.lengths import write_at_most
from patterns.writing.report.report_blocks import Block, Bullets, Figure, Paragraph, Section, Table

HOW = (
    "A frame that you dress to the plan fits the parts that were made first. A frame that you leave as it stands fits "
    "the parts made now. Do one or the other: after dressing a frame, measure again and make the job again."
)
MISFIT = (
    "These parts are cut to the plan and no longer fit the boat as it stands. Dress the frames to the plan, or cut "
    "these parts again: take them out of cut in [built]."
)
OVER = (
    "Dashed is the part as planned, solid the part to the boat as it stands. One is laid on the other as well as it "
    "goes. The figure is how far they come apart at most. A part that is not drawn here has kept its shape to the "
    "width of a pencil line. Frames that you measured are not drawn: the table says what their edges need."
)
KEPT = (
    "A line moves only as far as the second frame or station on either side of a frame that is out. There and at both "
    "ends it stays as planned."
)


def built_section(built: AsBuilt, views: Sequence[View], show: str) -> Section:
    """What is out, what each frame would need, and the lines as planned with those as built over them."""
    parts = (old_and_new_section(built, show),) if built.changed else ()
    return Section("As built", tuple(_blocks(built, views, show)), parts)


def old_and_new_section(built: AsBuilt, show: str) -> Section:
    """Each part whose shape is no longer as planned, the planned one drawn over it."""
    drawn = [(one, *old_and_new(one, show)) for one in built.changed]
    figures = (
        Figure(picture, changed_words(one, times, built.asked.within, show), across=True)
        for one, picture, times in drawn
    )
    return Section("Old and new shapes", (Paragraph(OVER), *figures))


def _blocks(built: AsBuilt, views: Sequence[View], show: str) -> Iterator[Block]:
    told = told_of_built(built, show)
    yield Paragraph(told[:1].upper() + told[1:])
    if lean := tuple(leaning(built, show)):
        yield Paragraph("These frames are not alike on both sides. Set them true first:")
        yield Bullets(lean)
    if single := tuple(one_sided(built)):
        yield Paragraph("Measure the other side too, and make the job again:")
        yield Bullets(single)
    if built.out:
        rows = tuple(out_row(one, show) for one in built.out)
        yield Table("What is out", OUT_COLUMNS, rows, frozenset(OUT_COLUMNS[3:]))
    edges = tuple(row for one in built.dressing for row in dressing_rows(one, show))
    if any(row[4] != "0" or row[5] != "0" for row in edges):
        yield Paragraph(HOW)
        yield Table(
            "What each frame would need, square to its edge",
            DRESSING_COLUMNS,
            tuple(row for row in edges if row[4] != "0" or row[5] != "0"),
            frozenset(DRESSING_COLUMNS[4:]),
        )
    if built.misfits:
        yield Paragraph(MISFIT, "caution")
        yield Bullets(tuple(f"{one.title}: up to {write_at_most(one.by, show)} off." for one in built.misfits))
    yield Paragraph(KEPT, "note")
    cut = dict.fromkeys(part.name for part in built.job.parts if part.as_cut and not part.of)
    yield Paragraph(f"As cut, so nothing is made for these: {', '.join(cut)}.")
    yield from (Figure(view.drawing, f"{view.drawing.title}. {' '.join(view.notes)}") for view in views)
