"""The page of test cuts: what to saw, what to measure, blanks to write it on, and the keys it becomes."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from patterns.drawing.marks import Drawing, Ink, Label, Stroke
from patterns.parts.hazards import RIPPING
from patterns.parts.long.long_pieces import LongPiece
from patterns.plates.bench.bench_page import (
    COLUMN_GAP,
    FIGURES,
    LEADING,
    TEXT,
    WIDTH,
    Block,
    Heading,
    bench_pages,
    paragraph,
    side_by_side,
    stacked,
    steps,
)
from patterns.plates.words.bench_words import slope_words
from patterns.shop.saw.saw_rules import SawRules
from patterns.shop.saw.tested_tilts import tilts_to_test
from patterns.units.lengths import write_length

NAME = "test cuts"
LEFT = 100.0  # mm, width of the column of words
ROW = 7.0  # mm from row to row: room to write
BLANK = 20.0  # mm to write one figure on
BOX = 3.2  # mm, of a box to tick
COLUMNS = (
    "tilt",
    "measured\ntilt",
    "shoe edge\nto kerf",
    "kerf on\nthe face",
    "foot leans\nunder the guide",
    "away\nfrom it",
)
STARTS = (0.0, 34.0, 59.0, 84.0, 112.0, 142.0)  # mm, left ends of the columns
GIVEN = 162.0  # mm, where the figure in boat.toml stands
THICK, TILT = 24.0, 0.35  # mm and rad, of the wood and the blade as drawn


def saw_test_sheet(pieces: Sequence[LongPiece], saw: SawRules | None, *, boat: str, show: str) -> list[Drawing]:
    """The page to fill in, for the tilts that the pieces of this boat want; nothing where none is ripped."""
    if not pieces:
        return []
    thickest = max(piece.thickness for piece in pieces)
    tilts = tilts_to_test(pieces, saw)
    heading = Heading(
        boat,
        "TEST CUTS: your own saw",
        "Fill in before the first rip, and again for another saw, shoe or blade. A scale on a saw is only a guide.",
    )
    deeds = steps(
        [
            f"Take straight scrap, {write_length(thickest, show)} thick as your thickest long piece and wide enough to "
            "carry the whole shoe. Clamp it, and clamp a straight batten along it.",
            "Unplug the saw. Set the tilt by a bevel gauge between shoe and blade. Let the blade reach just through.",
            "Run the edge of the shoe that you will always use along the batten. Saw a foot, let the blade stop, lift.",
            "On the face the shoe lay on, square to the batten, measure from the batten to the near side of the kerf, "
            "and across the kerf. Measure at two places: they must agree.",
            "Look at the end of the scrap. Tick which way the foot of the blade leans.",
            "Which edge of the shoe ran along the batten, seen from behind the saw?  left ____   right ____",
        ],
        width=LEFT,
    )
    right = WIDTH - LEFT - COLUMN_GAP
    beside = stacked([_picture(right), paragraph(RIPPING, width=right, size=FIGURES)])
    blocks = [side_by_side(deeds, beside, at=LEFT + COLUMN_GAP), _blanks(tilts, saw, show), *_keys(tilts, saw, show)]
    return bench_pages(heading, blocks, name="test-cuts")


def _picture(width: float) -> Block:
    """A section: batten, shoe, wood and the tilted blade, with what is measured."""
    right, guide, cut = width - 4.0, 12.0, 48.0
    top = -26.0
    foot = top - THICK / 2
    lean = THICK / 2 * float(np.tan(TILT))
    up = 18.0

    def box(x0: float, x1: float, y0: float, y1: float) -> Stroke:
        return Stroke(np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]]), "mark", closed=True)

    marks: list[Ink] = [
        box(0.0, right, foot, top),
        Stroke(np.array([[4.0, top], [guide, top], [guide, top + 7], [4.0, top + 7]]), "cut-inside", closed=True),
        box(guide, cut + 12.0, top, top + 1.2),
    ]
    for shift in (0.0, 1.6):
        line = [[cut + shift - lean, foot], [cut + shift + up * float(np.tan(TILT)), top + up]]
        marks.append(Stroke(np.array(line), "mark"))
    over = top + 14.0
    marks += [
        Stroke(np.array([[guide, over], [cut, over]]), "mark"),
        Stroke(np.array([[guide, over - 1.5], [guide, over + 1.5]]), "mark"),
        Stroke(np.array([[cut, over - 1.5], [cut, over + 1.5]]), "mark"),
        Label("shoe edge to kerf", ((guide + cut) / 2, over + 2.6), FIGURES),
        Label("batten", (4.0, top + 9.5), FIGURES, anchor="start"),
        Label("drawn: the foot leans under the guide", (0.0, foot - 3.5), FIGURES, anchor="start"),
    ]
    return Block(tuple(marks), -foot + 6.0)


def _blanks(tilts: Sequence[float], saw: SawRules | None, show: str) -> Block:
    """A row to write on for each tilt; what boat.toml has now stands at its end."""
    given = dict(saw.guide) if saw else {}
    marks: list[Ink] = []
    heads = (*COLUMNS, "in boat.toml\nnow") if given else COLUMNS
    for text, x in zip(heads, (*STARTS, GIVEN), strict=False):
        for k, line in enumerate(text.split("\n")):
            marks.append(Label(line, (x, -(k + 0.5) * LEADING * FIGURES), FIGURES, anchor="start"))
    y = -2 * LEADING * FIGURES - 1.0
    for tilt in tilts:
        y -= ROW
        slope = f"  {slope_words(tilt, show)}" if tilt else ""
        marks.append(Label(f"{np.degrees(tilt):.0f}°{slope}", (STARTS[0], y + TEXT / 2 + 0.5), TEXT, anchor="start"))
        marks += [Stroke(np.array([[x, y], [x + BLANK, y]]), "mark") for x in STARTS[1:4]]
        if tilt:
            marks += [
                Stroke(np.array([[x, y], [x + BOX, y], [x + BOX, y + BOX], [x, y + BOX]]), "mark", closed=True)
                for x in STARTS[4:]
            ]
        known = next((mm for angle, mm in given.items() if abs(angle - tilt) < np.radians(0.05)), None)
        if known is not None:
            marks.append(Label(write_length(known, show), (GIVEN, y + TEXT / 2 + 0.5), TEXT, anchor="start"))
    return Block(tuple(marks), -y + 2.0)


def _keys(tilts: Sequence[float], saw: SawRules | None, show: str) -> list[Block]:
    """How the figures are written in boat.toml; the program reads them from there."""
    pairs = ", ".join(f'[{np.degrees(tilt):g}, "____"]' for tilt in tilts)
    table = ["[saw]", 'kerf = "____"   # of the square cut', 'shoe_length = "____"']
    if saw is None:
        table += ['plate = "____"   # the body of the blade', 'blade_diameter = "____"', "tilts_to = ____   # degrees"]
    table += [
        'leans = "____"   # "under the guide side" or "away from the guide"',
        'guide_edge = "____"   # "left" or "right"',
        f"guide = [{pairs}]",
    ]
    told = (
        "Write in boat.toml what you measured, in place of what stands there, and run scrieve loft again. Every rip "
        "page is then worked out for your saw. Each pair of guide is a tilt as you measured it and shoe edge to kerf. "
        "No page sets a tilt steeper than your steepest test cut."
    )
    lines = [paragraph(line, indent=0.0) for line in table]
    return [paragraph(told), stacked(lines, gap=0.8)]
