"""Every table and key of boat.toml: what the lines need, and what wood needs.

Nothing that moves wood has a default. A default is written as the builder would write it, so that it can be shown.
"""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, Field, ValidationInfo, model_validator

from patterns.parts.asked.grain_rules import Lies
from patterns.parts.materials import NOT_STATED
from patterns.reading.toml.afloat_tables import AfloatTable, LoadTable, WoodTable
from patterns.reading.toml.bench_sizes import BoardEdges, BoardEnds, Holding, Planing, both_units
from patterns.reading.toml.bench_tables import BoardTable, SawTable
from patterns.reading.toml.built_table import BuiltTable
from patterns.reading.toml.end_tables import StemTable, TransomTable
from patterns.reading.toml.fastening_tables import FasteningsTable, FinishTable
from patterns.reading.toml.fields import (
    Count,
    Currency,
    Degrees,
    Distance,
    LayerName,
    Materials,
    Moisture,
    Name,
    NotNegative,
    Positive,
    Ratio,
    Tabs,
    Word,
    YesNo,
    fault,
    one_of_enum,
)
from patterns.reading.toml.fitting_tables import (
    BreasthookTable,
    QuarterKneeTable,
    RiserTable,
    ThwartKneeTable,
    ThwartTable,
)
from patterns.reading.toml.frame_tables import BuildingTable, FramesTable, OneFrameTable
from patterns.reading.toml.lines_tables import LinesToml
from patterns.reading.toml.planking_tables import LapsTable, PlankingTable, PlankLinesTable
from patterns.reading.toml.toml_table import Table, needed, optional, said, table, taken, with_metric_defaults
from patterns.reading.toml.yard_tables import Price, YardTable
from patterns.shop.nest.sheet_stock import GRAIN_WITHIN, SheetGrain
from patterns.shop.router.router_rules import LAYERS, CutTo, Release, Relief, RouterLayer, Words
from patterns.units.weights import METRIC


class LongPieceTable(Table):
    sided: Positive = needed("thickness square to the planking", "3/4 in")
    moulded: Positive = needed("width along the planking", "1 1/2 in")
    material: Word = taken(NOT_STATED, "its wood", "white oak")
    planing: Planing = taken("1/16 in", "wood that the saw leaves for the plane on each sawn edge")


class KeelTable(LongPieceTable):
    sided: Positive = needed("width athwart", "5 in")
    moulded: Positive = needed("depth, square to the bottom", "3/4 in")


class RoundKeelTable(Table):
    sided: Positive = needed("thickness athwart: twice the keel's half-breadths in the table", "1 1/4 in")
    moulded: Positive = needed("depth, from its lower edge to its upper one", "3 in")
    below: Positive = needed("how much of that lies below the rabbet", "1 1/2 in")
    material: Word = taken(NOT_STATED, "its wood", "white oak")


class ChineLogTable(LongPieceTable):
    at: Word | None = optional("the chine it is for; left out, every chine without a table", "chine 2")
    drain: Degrees | None = optional("degrees that its top falls inboard all along, the boat level", 5)
    top_bevel: Degrees | None = optional("degrees of one bevel of its top all along", 10)


def _listed(value: Any) -> Any:
    return [value] if isinstance(value, dict) else value


class RubRailTable(LongPieceTable):
    below_sheer: NotNegative = needed("how far its upper edge lies below the sheer, down the side", "5 in")


class StringerTable(LongPieceTable):
    name: Name = taken("stringer", "what it is called")
    below_sheer: NotNegative | None = optional("on the side: its upper edge below the sheer, down the side", "6 in")
    from_center: NotNegative | None = optional("on the bottom: its inboard edge from the center line", "8 in")

    @model_validator(mode="after")
    def _lies_somewhere(self) -> StringerTable:
        if (self.below_sheer is None) == (self.from_center is None):
            raise fault("either below_sheer, on the side, or from_center, on the bottom")
        return self


class SkegTable(Table):
    sided: Positive = needed("thickness athwart", "1 1/4 in")
    start: Distance = needed(
        "where it starts, a distance from FP",
        "9-6-0",
        alias="from",
        description="where the skeg starts, a distance from FP",
    )
    depth: Positive = needed("depth below the bottom at the transom", "4 in")
    material: Word = taken(NOT_STATED, "its wood", "white oak")


class StripTable(Table):
    left: NotNegative = needed("its left edge from the sheet's", "0 in")
    bottom: NotNegative = needed("its lower edge from the sheet's", "46 in")
    length: Positive = needed("its length", "8 ft")
    width: Positive = needed("its width", "2 in")


class SheetTable(Table):
    length: Positive = needed("its longer side", "8 ft")
    width: Positive = needed("its shorter side", "4 ft")
    price: Price | None = optional("price of one, a number", 95)


class SheetsTable(SheetTable):
    thickness: Positive | None = optional("for parts of this thickness only", "3/8 in")
    material: Word | None = optional("for parts of this material only", "marine plywood")
    count: Count | None = optional("how many you have", 3)
    grain: Annotated[SheetGrain, one_of_enum(SheetGrain)] = taken("length", "which way the outer veneer's grain runs")
    forbidden: list[StripTable] | None = table("strips of the sheet that no part may lie on")

    @model_validator(mode="after")
    def _counted_sheets_say_what_they_are(self) -> SheetsTable:
        if self.count is not None and (self.thickness is None or self.material is None):
            lacking = [key for key in ("thickness", "material") if getattr(self, key) is None]
            raise fault("thickness and material of sheets that are counted", f"count and no {' and no '.join(lacking)}")
        return self


class StockTable(Table):
    sheet: SheetTable | None = table("the one size of sheet that all plywood comes in")
    sheets: list[SheetsTable] | None = table("sheets of several sizes, materials or thicknesses")
    plywood: Materials | None = optional(
        "materials that come in sheets; those of planking that is no solid wood where it is left out",
        ["marine plywood"],
    )
    boards: list[BoardTable] | None = table("boards that you have for the long pieces")
    scarf: Ratio | None = optional("length of a plywood scarf over its thickness; 8 where it is left out", 8)
    board_scarf: Ratio = taken(12, "length of a scarf in solid wood over its thickness")
    holding: Holding = taken("1/4 in", "board left beyond every saw cut, to hold it by")
    moisture: Moisture = taken(12, "moisture of your boards in percent, by a meter; it tells how they bend")
    yard: list[YardTable] | None = table("boards that your lumber yard sells, to buy the rest from")
    board_ends: BoardEnds = taken("2 in", "cut off the length of a yard's board, both ends together")
    board_edges: BoardEdges = taken("1/4 in", "cut off the width of a yard's board, both edges together")
    blank_ends: BoardEnds = taken("1 in", "a blank longer than its finished part, both ends together")
    blank_edges: BoardEdges = taken("1/4 in", "a blank wider than its finished part, both edges together")
    currency: Currency | None = optional("sign of money printed before prices", "$")
    butt: Ratio | None = optional("thicknesses that a butt block reaches to either side; 12 where it is left out", 12)

    @property
    def idle(self) -> frozenset[str]:
        """Keys that say nothing while no yard is named."""
        return frozenset() if self.yard else frozenset({"board_ends", "board_edges", "blank_ends", "blank_edges"})

    @model_validator(mode="after")
    def _yard_boards_outlast_their_ends(self) -> StockTable:
        for board in self.yard or ():
            if min(board.lengths) <= self.board_ends or min(board.widths) <= self.board_edges:
                short = min(board.lengths) <= self.board_ends
                end = "ends" if short else "edges"
                size, off = (min(board.lengths), self.board_ends) if short else (min(board.widths), self.board_edges)
                raise fault(
                    "yard boards longer than board_ends and wider than board_edges",
                    f"a {'length' if short else 'width'} of {both_units(size)} and board_{end} of {both_units(off)}",
                )
        return self

    @model_validator(mode="after")
    def _sheets_said_once(self) -> StockTable:
        if self.sheet and self.sheets:
            raise fault("either sheet or sheets", "both sheet and sheets")
        return self


class RouterLayersTable(Table):
    cut_outside: LayerName | None = optional("your shop's name for the layer cut-outside", "CUT_OUTSIDE")
    cut_inside: LayerName | None = optional("for cut-inside", "CUT_INSIDE")
    drill: LayerName | None = optional("for drill", "DRILL")
    far_face: LayerName | None = optional("for far-face", "SCORE")
    mark: LayerName | None = optional("for mark", "SCORE")
    tab: LayerName | None = optional("for tab", "TABS")
    text_names: LayerName | None = optional("for text-names", "ENGRAVE")
    text_bevels: LayerName | None = optional("for text-bevels", "ENGRAVE")
    sheet: LayerName | None = optional("for sheet, the outline of a whole sheet", "SHEET")

    @property
    def own_names(self) -> tuple[tuple[RouterLayer, str], ...]:
        """The layers that are called otherwise."""
        given = ((layer, getattr(self, layer.replace("-", "_"))) for layer in LAYERS)
        return tuple((layer, name) for layer, name in given if name is not None)


class RouterTable(Table):
    cutter: Positive | None = optional("diameter of the cutter", "1/4 in")
    cut: Annotated[CutTo, one_of_enum(CutTo)] = taken("larger face", "the line that is cut where an edge is bevelled")
    relief: Annotated[Relief, one_of_enum(Relief)] = taken(
        "at the corner", "how an inside corner is opened so that a square piece seats in it"
    )
    clearance: NotNegative = taken("0 in", "added to the width of every notch")
    tabs: Tabs = taken(0, "tabs that hold each part in the sheet")
    tab_length: Positive = taken("1/2 in", "length of a tab along the cut", metric="12 mm")
    tab_height: Positive = taken("1/8 in", "wood left under a tab", metric="3 mm")
    skin: Positive | None = optional("wood left under every cut, in place of tabs, to hold the parts", "1/32 in")
    index: Positive | None = optional(
        "diameter of holes for dowels that align gussets with timbers and the pieces of a panel", "1/4 in"
    )
    pilot: Positive | None = optional("diameter of pilot holes for fastenings", "3/32 in")
    pilot_edge: Positive = taken("3/8 in", "distance of pilot holes from the planed edge", metric="10 mm")
    pilot_spacing: Positive = taken("2 1/2 in", "distance between pilot holes along chines and ends", metric="60 mm")
    frame_spacing: Positive = taken("5 in", "distance between pilot holes along frames", metric="120 mm")
    grain_within: Degrees = taken(GRAIN_WITHIN, "how far a part may be turned off the grain of its sheet, degrees")
    gap: NotNegative | None = optional("distance between parts on a sheet; 1/2 in or two cutters if left out", "1/2 in")
    margin: NotNegative | None = optional("edge of a sheet kept free of parts; 1/2 in where it is left out", "1/2 in")
    lettering: Annotated[Words, one_of_enum(Words)] = taken(
        "full", "what is engraved: full, short (name, side, face and bow) or none"
    )
    dxf: Annotated[Release, one_of_enum(Release)] = taken("r2000", "which DXF; r12 for a machine that reads no newer")
    svg: YesNo = taken(False, "true writes what is cut as full-size SVG too, in hairlines, for a laser")
    plain_colors: YesNo = taken(False, "true colors the layers with index colors 1 to 7 only")
    layers: RouterLayersTable | None = table("your shop's own names for the layers of the DXF files")
    tooth_clearance: NotNegative | None = optional(
        "play in a toothed joint, both sides together; 0.2 mm where it is left out", "0.01 in"
    )

    @property
    def idle(self) -> frozenset[str]:
        """Keys that say nothing while what they belong to is not asked for."""
        tabs = {"tab_length", "tab_height"} if not self.tabs else set[str]()
        pilots = {"pilot_edge", "pilot_spacing", "frame_spacing"} if self.pilot is None else set[str]()
        reliefs = {"relief"} if self.cutter is None else set[str]()
        return frozenset(tabs | pilots | reliefs | {"lettering", "dxf", "grain_within"})

    @model_validator(mode="after")
    def _in_its_units(self, info: ValidationInfo) -> RouterTable:
        """In a metric boat what is left out is a size in whole millimetres: common practice, no single source."""
        return with_metric_defaults(self) if (info.context or {}).get("unit") in METRIC else self


class GrainTable(Table):
    part: Word = needed("a part, or the words its name begins with: thwart, breasthook, frame 3 gusset", "thwart")
    lies: Annotated[Lies, one_of_enum(Lies)] = needed("how its grain lies: along its length, across or any", "along")


class BoatToml(LinesToml, extra="forbid"):
    """The whole file."""

    stem: StemTable | None = table("the stem, where the table has a column 'stem'")
    bow_transom: TransomTable | None = table("the bow transom, where the table has a column 'bow transom'")
    transom: TransomTable | None = table("the transom, where the table has a column 'transom'")
    sternpost: StemTable | None = table("the sternpost, where the table has a column 'sternpost'")
    planking: PlankingTable = needed("the planking, a table for each strake", None)
    laps: LapsTable | None = table("lapped strakes")
    frames: FramesTable | None = table("frames, or moulds to build over")
    frame: list[OneFrameTable] | None = table("one frame that differs from the others")
    building: BuildingTable | None = table("how the boat is set up while it is built")
    # Written once, [chine_log], it is a list of one.
    chine_log: Annotated[list[ChineLogTable] | None, BeforeValidator(_listed)] = table(
        "a log inside every chine, or at one chine"
    )
    inwale: LongPieceTable | None = table("a rail inside the planking along the sheer")
    outwale: LongPieceTable | None = table("a rail outside the planking along the sheer")
    rub_rail: RubRailTable | None = table("a rail outside the planking, below the sheer")
    keel: RoundKeelTable | None = table("the keel of a round hull, with its rabbet")
    plank_lines: PlankLinesTable | None = table("how planks, ribbands or strips divide the girth of a round hull")
    keel_batten: KeelTable | None = table("a batten inside the bottom on the center line")
    keelson: KeelTable | None = table("a timber on the keel batten, or on the bottom where there is none")
    stringer: list[StringerTable] | None = table("a batten inside the side, or inside the bottom")
    skeg: SkegTable | None = table("a skeg below the bottom, up to the transom")
    thwart: list[ThwartTable] | None = table("a thwart")
    riser: RiserTable | None = table("rails inside the sides that the thwarts rest on")
    thwart_knee: ThwartKneeTable | None = table("knees on the thwarts")
    breasthook: BreasthookTable | None = table("a knee between the sides behind the stem")
    quarter_knee: QuarterKneeTable | None = table("knees between sides and transom")
    grain: list[GrainTable] | None = table("how the grain lies in a part, where the default does not suit you")
    saw: SawTable | None = table("your circular saw, for set-ups of bevelled rips")
    stock: StockTable | None = table("sheets and boards that you have")
    built: BuiltTable | None = table("what was measured of the boat at the strongback: the rest is made to it")
    wood: list[WoodTable] | None = table("how heavy a material is, where the program's table of woods has no such wood")
    load: list[LoadTable] | None = table("a person or a thing aboard, for the draft and trim that the book tells")
    afloat: AfloatTable = Field(default=AfloatTable(), json_schema_extra=said("the water she floats in"))
    fastenings: FasteningsTable = Field(
        default=FasteningsTable(), json_schema_extra=said("how panels and rails are fastened")
    )
    finish: FinishTable = Field(default=FinishTable(), json_schema_extra=said("glue, sealer, cloth and paint"))
    router: RouterTable = Field(default=RouterTable(), json_schema_extra=said("how parts are cut on a router"))
