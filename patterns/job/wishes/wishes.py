"""What the builder wants of a job, beside what boat.toml says."""

from __future__ import annotations

from dataclasses import dataclass

from patterns.tiling.paper.correction import Correction

NO_PRINTER = "none"  # as a printer's name: pages are not corrected


@dataclass(frozen=True, slots=True)
class Wishes:
    """How patterns are drawn and printed. What is not given is as boat.toml has it, or plain.

    >>> Wishes(paper="a4", date="2026-11-29").grid
    True
    """

    paper: str | None = None  # one of patterns.units.papers.paper_names()
    printer: str | Correction | None = None  # the measured printer that pages are corrected for; "none" for no printer
    grid: bool = True  # datum lines, and figures beside crosses
    one_page: bool = False  # the roll in one page, however long
    sticks: bool = False  # story sticks on pages too, not on the roll alone
    svg_tiles: bool = False  # every page of the patterns as SVG too
    scale: int | None = None  # a card model too, one to so many
    only: tuple[str, ...] = ()  # names of the patterns that have pages, as a builder types them; empty for the usual
    all_pages: bool = False  # pages of panels, long pieces and boards too, which a table or the roll serves better
    timbers: bool = False  # each timber of a sawn frame on pages of its own
    date: str = ""  # printed as it is; empty for a blank line to write it on
    saw_allowance: float = 0.0  # mm, the saw line outside the finished line; 0 for no saw line
    notes: bool = True  # bevels, names and explanations
    pricks: bool = True  # prick points
    half: bool = False  # of patterns alike on both sides one half, to be turned over, where one page does not take them
