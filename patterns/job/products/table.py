"""The table of products: what a job can be asked for. To add one, add a line here."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.errors import UnknownNameError
from patterns.job.boat_job import BoatJob
from patterns.job.products import (
    afloat_files,
    bench_files,
    book_files,
    built_files,
    figure_files,
    paper_files,
    pattern_files,
    stick_files,
    stock_files,
    wood_files,
)
from patterns.job.products.made import Made, Product


def _book(job: BoatJob) -> Made:
    own = set(book_files.book_files(job))
    return book_files.make_book(job, (path for path in files_of(job) if path not in own))


PRODUCTS = (
    Product("svg", "each pattern full size", pattern_files.svg_files, pattern_files.make_svg),
    Product("router", "each part as DXF", wood_files.router_files, wood_files.make_router),
    Product("sheets", "sheets of plywood with the parts laid on them", wood_files.sheet_files, wood_files.make_sheets),
    Product("layout tables", "running measures for tape and batten", bench_files.table_files, bench_files.make_tables),
    Product("fit", "whether the parts fit together", bench_files.fit_files, bench_files.make_fit),
    Product("moulds", "where lines cross the moulds of a round hull", bench_files.mould_files, bench_files.make_moulds),
    Product("plank lines", "breadths of a round hull's planks", bench_files.plank_files, bench_files.make_planks),
    Product("setting up", "what to measure at the strongback", bench_files.set_up_files, bench_files.make_setting_up),
    Product("bevel boards", "bevels to set the gauge by", bench_files.board_files, bench_files.make_boards),
    Product("saw set-ups", "how each long piece is sawn", bench_files.saw_files, bench_files.make_saw_set_ups),
    Product("story sticks", "places to mark along each long part", stick_files.stick_files, stick_files.make_sticks),
    Product("paper", "the patterns on pages to tape together", paper_files.tile_files, paper_files.make_tiles),
    Product(
        "svg tiles",
        "each page of the patterns as SVG",
        paper_files.svg_tile_files,
        paper_files.make_svg_tiles,
        wished=lambda wishes: wishes.svg_tiles,
    ),
    Product("roll", "the patterns on a roll of paper", paper_files.roll_files, paper_files.make_roll),
    Product(
        "model",
        "a model to cut from card",
        paper_files.model_files,
        paper_files.make_model,
        wished=lambda wishes: wishes.scale is not None,
    ),
    Product("as built", "what to measure, and what is out", built_files.built_files, built_files.make_built),
    Product("weight and floating", "her weight and draft", afloat_files.afloat_files, afloat_files.make_afloat),
    Product("job.json", "every figure, unrounded", figure_files.job_json_files, figure_files.make_job_json),
    Product("cut list", "every piece of wood", figure_files.cut_list_files, figure_files.make_cut_list),
    Product("what to buy", "boards and sheets to buy", stock_files.stock_files, stock_files.make_stock),
    Product("fastenings", "fastenings, glue and finish", figure_files.fastening_files, figure_files.make_fastenings),
    Product("bottom boards", "boards laid athwart", figure_files.bottom_board_files, figure_files.make_bottom_boards),
    Product("faired table", "the table of offsets as faired", figure_files.faired_files, figure_files.make_faired),
    Product("lines may be out", "how far each may be out", figure_files.may_be_out_files, figure_files.make_may_be_out),
    Product("book", "the job book", book_files.book_files, _book),
)


def product(name: str) -> Product:
    """A product by its name.

    Raises
    ------
    UnknownNameError
        No product has the name.
    """
    for one in PRODUCTS:
        if one.name == name:
            return one
    raise UnknownNameError("product", name, (one.name for one in PRODUCTS))


def products_of(job: BoatJob) -> Iterator[Product]:
    """The products of the whole job: all but those that its wishes leave out."""
    return (one for one in PRODUCTS if one.wished(job.wishes))


def files_of(job: BoatJob) -> Iterator[str]:
    """The paths of all files of the whole job."""
    return (path for one in products_of(job) for path in one.files(job))
