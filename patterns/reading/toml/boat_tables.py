"""Every table and key of boat.toml.

Nothing that moves wood has a default. A default is written as the builder would write it, so that it can be shown.
"""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, Field, model_validator

from patterns.hull.build import LinesTo
from patterns.hull.fairing_rules import KnuckleKind
from patterns.parts.materials import NOT_STATED
from patterns.reading.toml.bench_sizes import Holding, Planing
from patterns.reading.toml.bench_tables import BoardTable, SawTable
from patterns.reading.toml.end_tables import StemTable, TransomTable
from patterns.reading.toml.fields import (
    Count,
    Degrees,
    Distance,
    FairingView,
    FileName,
    HeightsFrom,
    Materials,
    Name,
    NotNegative,
    Paper,
    Positive,
    Ratio,
    Show,
    StationName,
    Tabs,
    Text,
    Unit,
    Word,
    Yes,
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
from patterns.reading.toml.planking_tables import LapsTable, PlankingTable
from patterns.reading.toml.toml_table import Table, taken, words
from patterns.shop.nest.sheet_stock import SheetGrain
from patterns.shop.router.router_rules import CutTo, Relief


class BoatTable(Table):
    name: Name
    about: Text = ""
    units: Unit | None = None
    offsets: Annotated[FileName, Field(description="the file name of the table, such as 'offsets.csv'")]
    lines_to: Annotated[LinesTo, one_of_enum(LinesTo), words(LinesTo)]
    heights_from: HeightsFrom = taken("base")
    fair_within: NotNegative = taken("1/8 in")
    show: Show | None = None


class FairingTable(Table):
    """A limit of its own for one offset, one line or one view; what it does not name it holds for all of."""

    line: Word | None = None
    view: FairingView | None = None
    station: StationName | None = None
    lock: Yes | None = None
    within: NotNegative | None = None
    leave_out: Yes | None = None

    @model_validator(mode="after")
    def _says_one_thing(self) -> FairingTable:
        if sum(what is not None for what in (self.lock, self.within, self.leave_out)) != 1:
            raise fault('one of lock = true, within = "1/4 in" or leave_out = true')
        if (self.line, self.view, self.station) == (None, None, None):
            raise fault("a line, a view or a station it is for; fair_within in [boat] is for all")
        return self


class KnuckleTable(Table):
    """A place where a line is meant to turn at once, or to run from straight into a curve."""

    line: Word
    at: StationName
    kind: Annotated[KnuckleKind, one_of_enum(KnuckleKind), words(KnuckleKind)]


class LongPieceTable(Table):
    sided: Positive
    moulded: Positive
    material: Word = NOT_STATED
    planing: Planing = taken("1/16 in")


class ChineLogTable(LongPieceTable):
    at: Word | None = None
    drain: Degrees | None = None
    top_bevel: Degrees | None = None


def _listed(value: Any) -> Any:
    return [value] if isinstance(value, dict) else value


class RubRailTable(LongPieceTable):
    below_sheer: NotNegative


class StringerTable(LongPieceTable):
    name: Name = "stringer"
    below_sheer: NotNegative | None = None
    from_centre: NotNegative | None = None

    @model_validator(mode="after")
    def _lies_somewhere(self) -> StringerTable:
        if (self.below_sheer is None) == (self.from_centre is None):
            raise fault("either below_sheer, on the side, or from_centre, on the bottom")
        return self


class SkegTable(Table):
    sided: Positive
    start: Distance = Field(alias="from", description="where the skeg starts, a distance from FP")
    depth: Positive
    material: Word = NOT_STATED


class StripTable(Table):
    left: NotNegative
    bottom: NotNegative
    length: Positive
    width: Positive


class SheetTable(Table):
    length: Positive
    width: Positive


class SheetsTable(SheetTable):
    thickness: Positive | None = None
    material: Word | None = None
    count: Count | None = None
    grain: Annotated[SheetGrain, one_of_enum(SheetGrain)] = SheetGrain.LENGTH
    forbidden: list[StripTable] | None = None

    @model_validator(mode="after")
    def _counted_sheets_say_what_they_are(self) -> SheetsTable:
        if self.count is not None and (self.thickness is None or self.material is None):
            raise fault("thickness and material of sheets that are counted")
        return self


class StockTable(Table):
    sheet: SheetTable | None = None
    sheets: list[SheetsTable] | None = None
    plywood: Materials | None = None  # what comes in sheets; without it, what is so named
    boards: list[BoardTable] | None = None
    scarf: Ratio | None = None
    board_scarf: Ratio = 12  # of solid wood, length over thickness
    holding: Holding = taken("1/4 in")  # of board beyond every kerf
    butt: Ratio | None = None

    @model_validator(mode="after")
    def _sheets_said_once(self) -> StockTable:
        if self.sheet and self.sheets:
            raise fault("either sheet or sheets")
        return self


class RouterTable(Table):
    cutter: Positive | None = None
    cut: Annotated[CutTo, one_of_enum(CutTo)] = taken("larger face")
    relief: Annotated[Relief, one_of_enum(Relief)] = taken("at the corner")
    clearance: NotNegative = taken("0 in")
    tabs: Tabs = 0
    tab_length: Positive = taken("1/2 in")
    tab_height: Positive = taken("1/8 in")
    pilot: Positive | None = None
    pilot_edge: Positive = taken("3/8 in")
    pilot_spacing: Positive = taken("2 1/2 in")
    frame_spacing: Positive = taken("5 in")
    gap: NotNegative | None = None
    margin: NotNegative | None = None
    tooth_clearance: NotNegative | None = None

    @property
    def idle(self) -> frozenset[str]:
        """Keys that say nothing while what they belong to is not asked for."""
        tabs = {"tab_length", "tab_height"} if not self.tabs else set[str]()
        pilots = {"pilot_edge", "pilot_spacing", "frame_spacing"} if self.pilot is None else set[str]()
        reliefs = {"relief"} if self.cutter is None else set[str]()
        return frozenset(tabs | pilots | reliefs)


class PrinterTable(Table):
    paper: Paper = "letter"
    margin: NotNegative = taken("12 mm")
    overlap: NotNegative = taken("16 mm")
    roll: Positive = taken("36 in")
    half: YesNo = False
    name: Text = ""  # of the measured printer whose error is to be taken out


class BoatToml(Table):
    """The whole file."""

    boat: BoatTable
    fairing: list[FairingTable] | None = None
    knuckle: list[KnuckleTable] | None = None
    stem: StemTable | None = None
    bow_transom: TransomTable | None = None
    transom: TransomTable | None = None
    sternpost: StemTable | None = None
    planking: PlankingTable
    laps: LapsTable | None = None
    frames: FramesTable | None = None
    frame: list[OneFrameTable] | None = None
    building: BuildingTable | None = None
    # Written once, [chine_log], it is a list of one.
    chine_log: Annotated[list[ChineLogTable] | None, BeforeValidator(_listed)] = None
    inwale: LongPieceTable | None = None
    outwale: LongPieceTable | None = None
    rub_rail: RubRailTable | None = None
    keel_batten: LongPieceTable | None = None
    keelson: LongPieceTable | None = None
    stringer: list[StringerTable] | None = None
    skeg: SkegTable | None = None
    thwart: list[ThwartTable] | None = None
    riser: RiserTable | None = None
    thwart_knee: ThwartKneeTable | None = None
    breasthook: BreasthookTable | None = None
    quarter_knee: QuarterKneeTable | None = None
    saw: SawTable | None = None
    stock: StockTable | None = None
    # An absent table is an empty one here, so that its defaults are checked and shown like any other.
    router: RouterTable = RouterTable()
    printer: PrinterTable = PrinterTable()
