"""The table of products: what a job can be asked for. To add one, add a line here."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from patterns.errors import UnknownNameError
from patterns.job.boat_job import BoatJob
from patterns.job.products import bench, book, drawings, paper, records, wood
from patterns.job.products.made import Made, Product


def _book(job: BoatJob) -> Made:
    return book.make_book(job, files_of(job, (product for product in PRODUCTS if product.name != "book")))


PRODUCTS = (
    Product("svg", "each pattern full size", drawings.svg_files, drawings.make_svg),
    Product("router", "each part as DXF", wood.router_files, wood.make_router),
    Product("sheets", "sheets of plywood with the parts laid on them", wood.sheet_files, wood.make_sheets),
    Product("layout tables", "running measures for tape and batten", bench.table_files, bench.make_tables),
    Product("fit", "whether the parts fit together", bench.fit_files, bench.make_fit),
    Product("setting up", "what to measure at the strongback", bench.set_up_files, bench.make_setting_up),
    Product("bevel boards", "bevels to set the gauge by", bench.board_files, bench.make_boards),
    Product("saw set-ups", "how each long piece is sawn", bench.saw_files, bench.make_saw_set_ups),
    Product("paper", "the patterns on pages to tape together", paper.tile_files, paper.make_tiles),
    Product(
        "svg tiles",
        "each page of the patterns as SVG",
        paper.svg_tile_files,
        paper.make_svg_tiles,
        wished=lambda wishes: wishes.svg_tiles,
    ),
    Product("roll", "the patterns on a roll of paper", paper.roll_files, paper.make_roll),
    Product(
        "model",
        "a model to cut from card",
        paper.model_files,
        paper.make_model,
        wished=lambda wishes: wishes.scale is not None,
    ),
    Product("job.json", "every figure, unrounded", records.job_json_files, records.make_job_json),
    Product("cut list", "every piece of wood", records.cut_list_files, records.make_cut_list),
    Product("faired table", "the table of offsets as faired", records.faired_files, records.make_faired),
    Product("lines may be out", "how far each line may be out", records.may_be_out_files, records.make_may_be_out),
    Product("book", "the job book", book.book_files, _book),
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


def files_of(job: BoatJob, products: Iterable[Product]) -> Iterator[str]:
    """The paths of all files of products that the job is wished to have."""
    return (path for one in products if one.wished(job.wishes) for path in one.files(job))
