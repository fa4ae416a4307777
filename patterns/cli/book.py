"""The job book of ``scrieve loft``: which files belong to which part, and the book in its two forms."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from patterns.cli.bench import BenchWork, PagesOf
from patterns.parts.part import Part
from patterns.parts.whole import Job
from patterns.plates.bench.twist_picture import twist_picture
from patterns.reading.boat.boat_toml import BoatFile
from patterns.shop.nest.sheets import SheetPlan
from patterns.shop.saw.long_bench import BenchPiece
from patterns.tiling.paper.paper import PaperSetup
from patterns.writing.book.book_bench import (
    bevel_section,
    layout_links,
    layout_section,
    saw_section,
    setting_up_section,
)
from patterns.writing.book.job_book import Told, book
from patterns.writing.report.fit_sections import fit_sections
from patterns.writing.report.report_blocks import Link, Section

Files = dict[str, bytes | str]

HTML, PDF = "book.html", "book.pdf"
_KINDS = (
    ("paper/roll.pdf", "one piece on the roll"),
    ("paper/patterns-", "on sheets to tape together"),
    ("paper/model-", "a model to cut from card"),
    ("paper/bevel-boards.pdf", "lines to set the gauge by, full size"),
    ("paper/setting-up.pdf", "what to measure, to tick off at the strongback"),
    ("paper/saw-set-ups.pdf", "where the guide lies, to which side of the cut"),
    ("svg/twist-", "a picture of the sheet's twist, to a scale"),
    ("svg/", "full size, for a screen or a plotter"),
    ("router/", "for a router"),
    ("tables/cut-list.csv", "every piece of wood, its lengths, what it is cut from and what to buy"),
    ("tables/", "figures for tape and batten"),
    ("job.json", "every figure, unrounded"),
    ("offsets-faired.csv", "the table as faired"),
    (PDF, "this book for the wall"),
)


def book_files(
    read: BoatFile,
    job: Job,
    plan: SheetPlan,
    worked: Sequence[BenchPiece],
    work: BenchWork,
    *,
    made: Mapping[str, Sequence[str]],
    pages: PagesOf,
    written: Iterable[str],
    paper: PaperSetup,
) -> Files:
    """book.html and book.pdf.

    Parameters
    ----------
    made : mapping
        By a part's file name, the paths of the files made of it.
    pages : mapping
        By a file of several parts, the first and last page of each part in it, by its title or by its name.
    written : paths
        Every file of the job.
    """
    from patterns.writing.report.html_page import html_page
    from patterns.writing.report.report_pdf import report_pdf

    written = sorted(written)
    links = {part.title: tuple(_links_of(part, made[part.file_name], pages)) for part in job.parts}
    for joined in job.long_panels.joined:
        cut = [path for piece in joined.cut for path in made[piece.file_name]]
        links[joined.panel.title] += tuple(Link(path, path, "(a piece of it)", on_paper=False) for path in cut)
    layout = layout_section(work.tables)
    tables = layout_links(layout, work.tables)
    links |= {title: (*links[title], link) for title, link in tables.items() if title in links}
    for joined in job.long_panels.joined:
        links[joined.panel.title] += tuple(tables[piece.title] for piece in joined.cut if piece.title in tables)
    for piece in job.long_pieces:
        blocks = [
            path
            for path in written
            if path.startswith(f"svg/{piece.part.file_name}-") and path.endswith("-end-block.svg")
        ]
        links[piece.part.title] += tuple(
            Link(path, path, "(a paper for a test block of its end)", on_paper=False) for path in blocks
        )
    sheets = tuple(path for path in written if "/sheet-" in path or path.endswith(".toml"))
    linked = {*sheets, *(link.target.partition("#")[0] for some in links.values() for link in some)}
    told = Told(
        form=read.table,
        defaults=tuple((default.key, default.value) for default in read.defaults),
        plan=plan,
        parts=links,
        sheets=sheets,
        worked=worked,
        bench=_bench(job.boat.show, worked, work, layout),
        others=tuple(_link(path) for path in [PDF, *written] if path not in linked or path.startswith("paper/")),
    )
    whole = book(job, told)
    pdf = report_pdf(
        *(whole.title, whole.lead, whole.sections),
        width=min(paper.width, paper.height),
        height=max(paper.width, paper.height),
        margin=paper.margin,
    )
    return {HTML: html_page(whole.title, whole.lead, whole.sections), PDF: pdf}


def _bench(show: str, worked: Sequence[BenchPiece], work: BenchWork, layout: Section) -> tuple[Section, ...]:
    """The tables for the bench, in the order the work wants them."""
    pictures = tuple(twist_picture(skin, show) for skin in work.fit.skins)
    return (
        setting_up_section(work.setting_up),
        bevel_section(work.boards, show),
        *([saw_section(worked, show)] if worked else []),
        layout,
        Section("Proof that it will fit", (), fit_sections(work.fit, pictures, show)),
    )


def _links_of(part: Part, made: Iterable[str], pages: PagesOf) -> Iterator[Link]:
    """Files made of a part alone, then its pages in those it shares with others."""
    shared = [path for path, found in pages.items() if part.title in found or part.name in found]
    for path in dict.fromkeys((*made, *shared)):
        found = pages.get(path, {})
        yield _link(path, found.get(part.title, found.get(part.name)))


def _link(path: str, pages: tuple[int, int] | None = None) -> Link:
    what = next((words for start, words in _KINDS if path.startswith(start)), "")
    if path.startswith("tables/") and path.endswith(".svg"):
        what = "the drawing with the figures' numbers"
    if pages is None:
        return Link(path, path, f"({what})" if what else "", on_paper="/" not in path or path.startswith("paper/"))
    first, last = pages
    where = f"page {first}" if first == last else f"pages {first} to {last}"
    return Link(f"{path}, {where}", f"{path}#page={first}", f"({what})")
