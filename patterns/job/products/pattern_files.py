"""Each pattern full size as SVG, and papers for the test blocks of long pieces' ends."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.drawing.marks import Drawing
from patterns.job.boat_job import BoatJob, to_make
from patterns.job.products.made import Made


def svg_files(job: BoatJob) -> Iterator[str]:
    """A file for each part and each test block."""
    yield from (f"svg/{part.file_name}.svg" for part in to_make(job.shaped.parts))
    yield from map(_name, _blocks(job))


def make_svg(job: BoatJob) -> Made:
    """Every pattern full size, for a screen or a plotter."""
    from patterns.writing.ink.svg import svg_text

    made = {part.file_name for part in to_make(job.shaped.parts)}
    patterns = (drawing for drawing in job.drawings if drawing.file_name in made)
    return Made({_name(drawing): svg_text(drawing) for drawing in (*patterns, *_blocks(job))})


def _blocks(job: BoatJob) -> Iterator[Drawing]:
    return (block for own in job.blocks.values() for block in own)


def _name(drawing: Drawing) -> str:
    return f"svg/{drawing.file_name}.svg"
