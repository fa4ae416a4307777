"""The bench page of a V bottom's keel batten or keelson: its stock, its bevels and its cuts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from patterns.drawing.marks import Drawing, Ink, Label, Stroke
from patterns.drawing.text import capitals
from patterns.geometry.arrays import Floats
from patterns.parts.hazards import BENDING, EPOXY, RIPPING, says_glue
from patterns.parts.long.v_keel import KeelPlace, VKeel
from patterns.parts.materials import material_words
from patterns.plates.bench.bench_page import (
    COLUMN_GAP,
    FIGURES,
    LEADING,
    WIDTH,
    Block,
    Heading,
    bench_pages,
    paragraph,
    side_by_side,
    stacked,
    steps,
    table,
)
from patterns.plates.bench.saw_section import scale_for
from patterns.plates.words.bench_words import degrees
from patterns.plates.words.keel_words import bend_words, cut_words, saw_words
from patterns.shop.saw.keel_cuts import KeelBench, KeelCut
from patterns.shop.saw.saw_rules import SawRules
from patterns.units.lengths import write_length

LEFT = 104.0  # mm, width of the column of words
TALL = 40.0  # mm a section may be high as drawn


def keel_sheet(made: KeelBench, saw: SawRules | None, *, boat: str, show: str) -> list[Drawing]:
    """Its page, or pages."""
    keel = made.keel
    sided, moulded = (write_length(mm, show) for mm in (keel.rules.sided, keel.rules.moulded))
    heading = Heading(
        boat,
        f"{capitals(keel.part.title)}: stock and saw set-ups",
        f"{material_words(keel.rules.material)}; on the center line of a V bottom, {sided} wide and {moulded} high.",
    )
    told = [*bend_words(made, show), *saw_words(made, saw, show)]
    words = [paragraph(text, width=LEFT) for text in told]
    if made.cuts:
        words.append(steps([cut_words(cut, show) for cut in made.cuts], width=LEFT))
    right = WIDTH - LEFT - COLUMN_GAP
    cautions = (BENDING, RIPPING) if made.cuts else (BENDING,)
    cautions = (*cautions, EPOXY) if says_glue(told) else cautions
    beside = (_sections(keel, show, width=right), *(paragraph(text, width=right, size=FIGURES) for text in cautions))
    blocks = [side_by_side(stacked(words, gap=1.2), stacked(beside), at=LEFT + COLUMN_GAP)]
    return bench_pages(
        heading, [*blocks, *_bevels(keel, show), *_cuts(made, show)], name=f"{keel.part.file_name}-stock"
    )


def section(keel: VKeel, place: KeelPlace) -> Floats:
    """(n, 2) mm, seen from aft: starboard to the right, the lower edge's middle at nought."""
    half, high, flat = keel.rules.sided / 2, keel.rules.moulded, min(keel.ridge.half, keel.rules.sided / 2)
    rise = place.rise if keel.bevelled else 0.0
    right = [[flat, 0.0], [half, rise], [half, high]]
    return np.array([*right, *([-x, y] for x, y in reversed(right))])


def _sections(keel: VKeel, show: str, *, width: float) -> Block:
    """At the fore end, amidships and the after end, one under the other."""
    places = (keel.places[0], keel.places[len(keel.places) // 2], keel.places[-1])
    scale = scale_for(max(keel.rules.sided / (width - 4.0), keel.rules.moulded / TALL), 1.0)
    marks: list[Ink] = []
    down = 0.0
    for name, place in zip(("fore end", places[1].name or "middle", "after end"), places, strict=True):
        bevel = f", each half {degrees(place.bevel)} off square" if keel.bevelled else ""
        marks.append(Label(f"{name}{bevel}", (width / 2, down - LEADING * FIGURES / 2), FIGURES))
        down -= LEADING * FIGURES + 1.0 + keel.rules.moulded / scale
        marks.append(Stroke(section(keel, place) / scale + (width / 2, down), "cut-outside", closed=True))
        down -= 2.5
    told = paragraph(f"Finished sections seen from aft, 1:{scale}, planking below.", width=width, size=FIGURES)
    return stacked([Block(tuple(marks), -down), told], gap=0.8)


def _names(keel: VKeel) -> list[str]:
    return ["fore end", *(place.name for place in keel.places[1:-1]), "after end"]


def _bevels(keel: VKeel, show: str) -> list[Block]:
    """The bevels, mark by mark; nothing where its lower edge is square."""
    if not keel.bevelled:
        return []
    rows = [
        [name, write_length(place.along, show), degrees(place.bevel), write_length(place.rise, show)]
        for name, place in zip(_names(keel), keel.places, strict=True)
    ]
    return table(["mark", "along the\nlower edge", "each half,\noff square", "bevel line above\nthe middle"], rows)


def _cuts(made: KeelBench, show: str) -> Iterator[Block]:
    """Saw line, guide and what is left for the plane: of both halves alike, and of the square edges."""
    told = set[str]()
    for cut in made.cuts:
        if cut.line not in told:
            told.add(cut.line)
            yield from _cut_table(made.keel, cut, show)


def _cut_table(keel: VKeel, cut: KeelCut, show: str) -> list[Block]:
    own, line = cut.setting, "bevel line, both sides" if cut.line == "bevel line" else cut.line
    along = [write_length(place.along, show) for place in keel.places]
    columns: dict[str, Sequence[str]] = {"along the\nlower edge": along}
    columns["saw line\noutside it"] = _fine(own.at(cut.x, own.beyond), show)
    if own.distance is not None:
        columns["guide to\nsaw line"] = _fine(own.distance + own.at(cut.x, own.stand_off), show)
    columns["to plane,\nupper side"] = _fine(own.at(cut.x, own.plane_up), show)
    columns["to plane,\nmiddle" if cut.to_middle else "to plane,\nlower side"] = _fine(
        own.at(cut.x, own.plane_down), show
    )
    rows = [[name, *cells] for name, *cells in zip(_names(keel), *columns.values(), strict=True)]
    return table([line, *columns], rows)


def _fine(values: Floats, show: str) -> Sequence[str]:
    return [write_length(float(value), show) for value in values]
