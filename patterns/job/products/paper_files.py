"""Patterns on paper: pages to tape together, as PDF and as SVG, the roll, and the card model."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.errors import PatternsError
from patterns.job.boat_job import BoatJob
from patterns.job.products.made import Made
from patterns.job.told import ModelPrinted, RollPrinted, TilesPrinted
from patterns.job.wishes.paper_sizes import larger_papers
from patterns.tiling.paper.paper import PaperSetup
from patterns.tiling.roll.card_model import largest_scale, model
from patterns.tiling.roll.roll_key import roll_pages, running_length
from patterns.tiling.seams.key_plan import called
from patterns.tiling.tiles.tiles import Page, Tile, Tiling

ROLL = "paper/roll.pdf"


def tiles_name(paper: PaperSetup) -> str:
    """The file of the patterns' pages."""
    return on_paper("patterns", paper)


def on_paper(what: str, paper: PaperSetup) -> str:
    """The file of something on pages of one paper: ``paper/patterns-letter.pdf``."""
    return f"paper/{what}-{paper.name.lower().replace(' ', '-')}.pdf"


def tile_files(job: BoatJob) -> Iterator[str]:
    """One."""
    yield tiles_name(job.paper)


def make_tiles(job: BoatJob) -> Made:
    """The patterns on pages to tape together."""
    from patterns.writing.ink.pdf import pdf_bytes

    pages = job.printed.pages(job.page_set.pages)
    file = pdf_bytes(pages, title=f"{job.marked_name}: {job.paper.name}")
    return Made({tiles_name(job.paper): file}, (TilesPrinted(len(pages), called(job.paper), job.left_off),))


def svg_tile_files(job: BoatJob) -> Iterator[str]:
    """One for each page of each pattern."""
    return (f"svg/tiles/{_tile_name(tiling, one)}.svg" for tiling in job.tilings for one in tiling.tiles)


def make_svg_tiles(job: BoatJob) -> Made:
    """Each page of the patterns as SVG."""
    from patterns.writing.ink.svg import svg_page

    named = [(_tile_name(tiling, one), one) for tiling in job.tilings for one in tiling.tiles]
    return Made({f"svg/tiles/{name}.svg": svg_page(one.page, prefix=name) for name, one in named})


def _tile_name(tiling: Tiling, one: Tile) -> str:
    return f"{tiling.drawing.file_name}-{one.label}"


def roll_files(job: BoatJob) -> Iterator[str]:
    """One."""
    yield ROLL


def make_roll(job: BoatJob) -> Made:
    """The patterns on a roll of paper."""
    from patterns.writing.ink.pdf import pdf_bytes

    laid = job.rolled
    data = pdf_bytes(roll_pages(laid), title=f"{job.marked_name}: roll", any_length=job.wishes.one_page)
    return Made({ROLL: data}, (RollPrinted(running_length(laid), bool(laid.too_long)),))


def model_files(job: BoatJob) -> Iterator[str]:
    """One."""
    yield f"paper/model-1-{_scale(job)}.pdf"


def make_model(job: BoatJob) -> Made:
    """A model to cut from card, on the job's paper or on the smallest larger one that takes it.

    Raises
    ------
    PatternsError
        No scale is asked for, or one so large that no card takes the model.
    """
    from patterns.writing.ink.pdf import pdf_bytes

    scale, parts, printed = _scale(job), job.shaped.parts, job.printed
    found = model(parts, scale, [printed.room, *larger_papers(job.paper)], boat=job.marked_name)
    on_own = found.paper.name == job.paper.name
    pages: tuple[Page, ...] = tuple(printed.pages(found.pages)) if on_own else tuple(found.pages)
    largest = None if on_own else largest_scale(parts, printed.room, over=scale)
    data = pdf_bytes(pages, title=f"{job.marked_name}: model 1:{scale}", subject="a scale model, not for wood")
    told = ModelPrinted(scale, len(pages), found.paper.name, job.paper.name, largest)
    return Made({f"paper/model-1-{scale}.pdf": data}, (told,))


def _scale(job: BoatJob) -> int:
    if job.wishes.scale is None:
        raise PatternsError("model: found no scale, expected one in the wishes, such as scale=8 for 1:8")
    return job.wishes.scale
