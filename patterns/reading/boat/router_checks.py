"""What [router] and the sheets of [stock] ask that no wood can give: pilot holes, tabs, strips, sheets."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import BaseModel

from patterns.errors import Problem
from patterns.reading.toml.boat_tables import BoatToml, SheetTable, StripTable
from patterns.reading.toml.faults import cell, spelled
from patterns.reading.toml.frame_tables import gusset_thickness
from patterns.reading.toml.toml_lines import Path
from patterns.shop.router.router_rules import CUT, LAYERS, DxfForm
from patterns.units.lengths import write_length, write_size

LEAST_WOOD = 1.0  # mm between a pilot hole and the edge beside it; a thinner wall breaks out under the drill
LARGEST_CUTTER = 50.8  # mm (2 in), common practice, no single source
DOWELS = (2.0, 25.4)  # mm, the thinnest and the thickest dowel sold (25.4 mm is 1 in), common practice
MOST_PLAY = 2.0  # mm, both sides of a tooth together, common practice for filled epoxy
NOT_PARTS = ("boat", "fairing", "knuckle", "building", "saw", "stock", "router", "printer")


def faults_of_router(toml: BoatToml, file: str, lines: Mapping[Path, int], show: str) -> Iterator[Problem]:
    """Every size of [router] that no part of this boat has room for."""
    for path, found, expected in (*_limits(toml, show), *_pilots(toml, show), *_tabs(toml, show), *_skin(toml, show)):
        yield Problem(cell(file, lines, path), write_size(found, show), expected)
    yield from _layers(toml, file, lines)


def faults_of_stock(toml: BoatToml, file: str, lines: Mapping[Path, int], show: str) -> Iterator[Problem]:
    """Sheets whose length is their width, and strips that lie off their sheet."""
    stock = toml.stock
    if stock is None:
        return
    if stock.sheets is not None and not stock.sheets:
        yield Problem(cell(file, lines, ("stock", "sheets")), "no sheet", "at least one, or the key left out")
    sheets: list[tuple[Path, SheetTable]] = [
        (("stock", "sheets", n), sheet) for n, sheet in enumerate(stock.sheets or ())
    ]
    if stock.sheet:
        sheets.append((("stock", "sheet"), stock.sheet))
    for path, sheet in sheets:
        length, width = write_length(sheet.length, show), write_length(sheet.width, show)
        if sheet.length < sheet.width:
            expected = f"at least its width, {width}: give the longer side of the sheet as length"
            yield Problem(cell(file, lines, (*path, "length")), length, expected)
        for n, strip in enumerate(getattr(sheet, "forbidden", None) or ()):
            yield from _strip(strip, sheet, (*path, "forbidden", n), file, lines, show)


def _strip(
    strip: StripTable, sheet: SheetTable, path: Path, file: str, lines: Mapping[Path, int], show: str
) -> Iterator[Problem]:
    """Where a strip ends past the sheet's right or upper edge."""
    for start, size, whole in (("left", "length", sheet.length), ("bottom", "width", sheet.width)):
        end = getattr(strip, start) + getattr(strip, size)
        if end > whole + 0.05:
            found = f"a strip that ends {write_length(end, show)} from the sheet's {start} edge"
            expected = f"at most the sheet's {size}, {write_length(whole, show)}: make {start} or {size} smaller"
            yield Problem(cell(file, lines, (*path, size)), found, expected)


def _layers(toml: BoatToml, file: str, lines: Mapping[Path, int]) -> Iterator[Problem]:
    """A layer that is cut through may share its name with no layer that is not: the shop could not tell them apart."""
    form = DxfForm(own_names=toml.router.layers.own_names if toml.router.layers else ())
    for layer, name in form.own_names:
        for other in LAYERS:
            apart = (layer in CUT or other in CUT) and other != layer
            if apart and form.name(other).lower() == name.lower():
                expected = f"another name: the layer {other} has this one too, and the shop could not tell them apart"
                yield Problem(cell(file, lines, ("router", "layers", layer.replace("-", "_"))), f"'{name}'", expected)
                break


def _limits(toml: BoatToml, show: str) -> Iterator[tuple[Path, float, str]]:
    """Sizes that no tool has, or no glue fills, whatever the boat."""
    for key, most, why in (
        ("cutter", LARGEST_CUTTER, "no router for sheets turns a larger cutter"),
        ("tooth_clearance", MOST_PLAY, "glue holds no wider gap"),
    ):
        size = getattr(toml.router, key)
        if size is not None and size > most:
            yield ("router", key), size, f"at most {write_size(most, show)}: {why}"
    index, (thin, thick) = toml.router.index, DOWELS
    if index is not None and not thin <= index <= thick:
        expected = f"{write_size(thin, show)} to {write_size(thick, show)}: a dowel must fit in the hole"
        yield ("router", "index"), index, expected


def _pilots(toml: BoatToml, show: str) -> Iterator[tuple[Path, float, str]]:
    router, pilot = toml.router, toml.router.pilot
    if pilot is None:
        return
    least = pilot / 2 + LEAST_WOOD
    if router.pilot_edge < least:
        given = "pilot_edge" in router.model_fields_set
        if given:
            expected = (
                f"at least {write_size(least, show)} for holes of {write_size(pilot, show)}, their radius and "
                f"{write_size(LEAST_WOOD, show)} of wood: make pilot_edge larger or pilot smaller"
            )
            yield ("router", "pilot_edge"), router.pilot_edge, expected
        else:
            most = 2 * (router.pilot_edge - LEAST_WOOD)
            expected = (
                f"at most {write_size(most, show)} for holes {write_size(router.pilot_edge, show)} from an edge "
                f"(the default of pilot_edge): name a smaller pilot, or a larger pilot_edge"
            )
            yield ("router", "pilot"), pilot, expected
    for name, thick in transoms(toml):
        if pilot + 2 * LEAST_WOOD > thick:
            expected = (
                f"at most {write_size(max(thick - 2 * LEAST_WOOD, 0.0), show)}, within the {name}'s thickness of "
                f"{write_size(thick, show)}: name a smaller pilot, or a thicker {name}"
            )
            yield ("router", "pilot"), pilot, expected
    frames = toml.frames
    if frames is not None and pilot + 2 * LEAST_WOOD > frames.sided:
        expected = (
            f"at most {write_size(max(frames.sided - 2 * LEAST_WOOD, 0.0), show)}, within the frames' thickness of "
            f"{write_size(frames.sided, show)} ([frames] sided): name a smaller pilot"
        )
        yield ("router", "pilot"), pilot, expected
    for key, spacing in (("pilot_spacing", router.pilot_spacing), ("frame_spacing", router.frame_spacing)):
        if spacing < 2 * pilot:
            expected = f"at least two diameters of the pilot holes, {write_size(2 * pilot, show)}: make {key} larger"
            yield ("router", key), spacing, expected


def transoms(toml: BoatToml) -> tuple[tuple[str, float], ...]:
    """Ends of the boat that are transoms, by the names their edges have, with their thickness in mm."""
    ends = (("transom", toml.transom), ("bow transom", toml.bow_transom))
    return tuple((name, end.thickness) for name, end in ends if end is not None)


def _tabs(toml: BoatToml, show: str) -> Iterator[tuple[Path, float, str]]:
    router = toml.router
    if not router.tabs:
        return
    thinnest, where = min(_thicknesses(toml))
    if router.tab_height >= thinnest:
        expected = (
            f"less than {write_size(thinnest, show)}, the thickness of the thinnest wood ({where}): make tab_height "
            f"smaller"
        )
        yield ("router", "tab_height"), router.tab_height, expected


def _skin(toml: BoatToml, show: str) -> Iterator[tuple[Path, float, str]]:
    router, skin = toml.router, toml.router.skin
    if skin is None:
        return
    if router.tabs:
        yield ("router", "skin"), skin, "either skin or tabs: leave one of them out"
    thinnest, where = min(_thicknesses(toml))
    if skin > thinnest / 2:
        expected = (
            f"at most {write_size(thinnest / 2, show)}, half the thinnest wood ({where}): a skin is cut free with a "
            "knife, so make it thin"
        )
        yield ("router", "skin"), skin, expected


def _thicknesses(toml: BoatToml) -> Iterator[tuple[float, str]]:
    """How thick each part is that is cut, mm, and the key that says so."""
    for name in type(toml).model_fields:
        if name not in NOT_PARTS:
            yield from _in_table(getattr(toml, name), (name,))
    if toml.frames:
        yield gusset_thickness(toml.frames), "[frames] gusset"


def _in_table(table: Any, path: Path) -> Iterator[tuple[float, str]]:
    if isinstance(table, list):
        for number, one in enumerate(table):
            yield from _in_table(one, (*path, number))
        return
    if not isinstance(table, BaseModel):
        return
    for key in ("thickness", "sided"):
        if isinstance(size := getattr(table, key, None), float):
            yield size, spelled((*path, key))
    for key in ("side", "bottom"):
        yield from _in_table(getattr(table, key, None), (*path, key))
