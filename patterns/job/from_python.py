"""What a Python program or a notebook asks for by name; ``from patterns import loft`` gives it.

In the examples ``job`` is ``loft("samples/saltmeadow")``.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from patterns.drawing.marks import Drawing
from patterns.job.boat_job import BoatJob
from patterns.job.edited import refuse_edited
from patterns.job.making import make
from patterns.job.products.wood_files import PLACEMENTS
from patterns.job.wishes.wishes import Wishes
from patterns.parts.part import Part
from patterns.reading.boat.boat_toml import BoatFile, read_boat
from patterns.writing.folder.job_folder import Written, job_folder


@dataclass(frozen=True, slots=True, eq=False)
class Pattern:
    """One part's full-size drawing. A notebook shows it as wide as its page."""

    drawing: Drawing

    def __repr__(self) -> str:
        return f"<Pattern {self.drawing.title}>"

    @property
    def svg(self) -> str:
        """Full size in mm, as the file in ``svg/`` has it."""
        from patterns.writing.ink.svg import svg_text

        return svg_text(self.drawing)

    def _repr_svg_(self) -> str:
        from patterns.writing.ink.svg import svg_inline

        return svg_inline(self.drawing)


def loft(boat: str | Path | BoatFile, wishes: Wishes | None = None) -> BoatJob:
    """Fair a boat's lines, lay her planking and shape every part.

    Drawings, files and bench work wait until they are asked for.

    Parameters
    ----------
    boat : str, Path or BoatFile
        The boat's folder, the path of its boat.toml, or what `read_boat` gave.
    wishes : Wishes, optional
        How patterns are drawn and printed, beside what boat.toml says.

    Raises
    ------
    PatternsError
        What was read has faults, or makes no boat.

    >>> loft("samples/saltmeadow", Wishes(paper="a4", date="2026-11-29"))
    <BoatJob Saltmeadow: 47 patterns, on a4>
    """
    read = boat if isinstance(boat, BoatFile) else read_boat(boat)
    return BoatJob(read, wishes or Wishes()).work_out("lofted")


def draw(job: BoatJob, part: str | Part) -> Pattern:
    """One part's pattern; the others are not drawn.

    Parameters
    ----------
    part : str or Part
        A part of the job, or its title.

    Raises
    ------
    PatternsError
        No part has the title, or it is a piece of a joined panel: the whole panel has the pattern.

    >>> draw(job, "frame 3")
    <Pattern frame 3>
    >>> "Frame 3" in draw(job, "frame 3").svg
    True
    """
    return Pattern(job.drafting.drawn(job.part(part if isinstance(part, str) else part.title)))


def write(job: BoatJob, folder: str | Path, *products: str) -> Written:
    """Make products and write them to a folder; where none is named, the whole job.

    The folder then holds these files, and every file of your own that was in it. Files of an earlier job go. A file
    of an earlier job that you have changed is kept, and so is one that was read; the new one goes beside it.

    Raises
    ------
    PatternsError
        No product has the name, the boat cannot have it, or the folder cannot be written.

    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write(job, f"{folder}/out", "cut list", "faired table").names
    ('offsets-faired.csv', 'tables/cut-list.csv')
    """
    out = Path(folder)
    with job_folder(out) as place:
        refuse_edited(out / "router" / PLACEMENTS)
        return place.write(make(job, *products).files, used=job.read.files)
