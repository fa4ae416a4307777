"""The tables and keys of boat.toml that the lines are faired and drawn by.

A default is written as the builder would write it, so that it can be shown.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, ValidationInfo, model_validator

from patterns.hull.build import LinesTo
from patterns.hull.fairing_rules import KnuckleKind
from patterns.reading.toml.end_tables import StemLines, TransomLines
from patterns.reading.toml.fields import (
    Distance,
    FairingView,
    FileName,
    HeightsFrom,
    Name,
    NotNegative,
    Paper,
    Positive,
    Show,
    Slope,
    StationName,
    Text,
    Unit,
    Word,
    Yes,
    YesNo,
    fault,
    one_of_enum,
)
from patterns.reading.toml.toml_table import Table, needed, optional, said, table, taken, words
from patterns.units.weights import METRIC

METRIC_PAPER = "a4"


class BoatTable(Table):
    name: Name = needed("the boat's name", "Saltmeadow")
    about: Text = taken("", "a sentence about the boat, which the book shows", "Flat-bottomed skiff, 14 ft 6 in")
    units: Unit | None = optional("what a bare number means", "in")
    offsets: FileName = needed(
        "the table of offsets beside this file: CSV, or a spreadsheet's .xlsx",
        "offsets.csv",
        description="the file name of the table, such as 'offsets.csv'",
    )
    lines_to: Annotated[LinesTo, one_of_enum(LinesTo), words(LinesTo)] = needed(
        "which face of the planking the plan's lines give", "outside of planking"
    )
    heights_from: HeightsFrom = taken(
        "base",
        "what the table's heights are measured from, with its height above base: { base_above = ... } where they run "
        "down, { water_line = ... } where they run up and down. Heights in this file are above base",
        {"base_above": "3-0-0"},
    )
    fair_within: NotNegative = taken("1/8 in", "how far a batten may leave a given offset")
    show: Show | None = optional("how lengths are printed", "ft-in-16ths")


class FairingTable(Table):
    """A limit of its own for one offset, one line or one view; what it does not name it holds for all of."""

    line: Word | None = optional("a line of the table; left out, all", "sheer")
    view: FairingView | None = optional("which block of the table; left out, both", "heights")
    station: StationName | None = optional("a column of the table; left out, all", "3")
    lock: Yes | None = optional("the offset does not move", True)
    within: NotNegative | None = optional("how far the offset may move, in place of fair_within", "1/4 in")
    leave_out: Yes | None = optional("the offset does not count", True)

    @model_validator(mode="after")
    def _says_one_thing(self) -> FairingTable:
        if sum(what is not None for what in (self.lock, self.within, self.leave_out)) != 1:
            raise fault('one of lock = true, within = "1/4 in" or leave_out = true')
        if (self.line, self.view, self.station) == (None, None, None):
            raise fault("a line, a view or a station it is for; fair_within in [boat] is for all")
        return self


class KnuckleTable(Table):
    """A place where a line is meant to turn at once, or to run from straight into a curve."""

    line: Word = needed("a line of the table", "chine")
    at: StationName = needed("a station, or a distance from FP", "4")
    kind: Annotated[KnuckleKind, one_of_enum(KnuckleKind), words(KnuckleKind)] = needed(
        "how the line runs there", "angle"
    )


class DiagonalTable(Table):
    """Where a diagonal lies; its figures run along it, from the centre plane."""

    height: Distance = needed("of its apex on the center plane, above base", "18 in")
    angle: Slope = needed("degrees that it slopes down outboard, from level", 35)


class PrinterTable(Table):
    paper: Paper = taken("letter", "paper of the pages", metric=METRIC_PAPER)
    margin: NotNegative = taken("12 mm", "what the printer leaves white round each page")
    overlap: NotNegative = taken("12 mm", "how far neighbouring pages overlap")
    roll: Positive = taken("36 in", "width of the roll that patterns are plotted on")
    half: YesNo | None = optional(
        "true prints one half of what is alike on both sides, to turn over; true for a round hull where it is left out",
        True,
    )
    name: Text = taken("", "the measured printer whose error the pages are corrected for", "office")

    @model_validator(mode="after")
    def _in_its_units(self, info: ValidationInfo) -> PrinterTable:
        """Where boats are drawn in millimetres printers hold A4."""
        if "paper" in self.model_fields_set or (info.context or {}).get("unit") not in METRIC:
            return self
        return type(self).model_construct(set(self.model_fields_set), **{**dict(self), "paper": METRIC_PAPER})


class LinesToml(Table, extra="ignore"):
    """What the lines need of the file."""

    boat: BoatTable = needed("the boat and her lines", None)
    fairing: list[FairingTable] | None = table("a different limit for one offset, one line or one view")
    knuckle: list[KnuckleTable] | None = table("where a line is meant not to run fair")
    diagonals: dict[str, DiagonalTable] | None = table("where a diagonal of the table lies, under its name there")
    stem: StemLines | None = table("the stem, where the table has a column 'stem'")
    bow_transom: TransomLines | None = table("the bow transom, where the table has a column 'bow transom'")
    transom: TransomLines | None = table("the transom, where the table has a column 'transom'")
    sternpost: StemLines | None = table("the sternpost, where the table has a column 'sternpost'")
    # An absent table is an empty one here, so that its defaults are checked and shown like any other.
    printer: PrinterTable = Field(default=PrinterTable(), json_schema_extra=said("paper and printer"))
