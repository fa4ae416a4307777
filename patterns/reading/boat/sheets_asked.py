"""What boat.toml says of sheets and of joints in panels: [stock], [router] and [planking]."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from patterns.errors import Problem
from patterns.hull.build import Joint
from patterns.parts.asked.joint_rules import (
    BLOCK_REACH,
    SCARF_RATIO,
    TOOTH_CLEARANCE,
    JointRules,
    JointSizes,
    PanelJoints,
)
from patterns.parts.materials import NOT_STATED, Plywood, plain
from patterns.reading.boat.boat_long import long_asked
from patterns.reading.boat.planking_asked import StrakeAsked, chine_joints, strakes_asked
from patterns.reading.toml.boat_tables import BoatToml, SheetsTable
from patterns.reading.toml.faults import cell
from patterns.reading.toml.frame_tables import FramesTable
from patterns.reading.toml.planking_tables import BottomTable
from patterns.reading.toml.toml_lines import Path
from patterns.shop.nest.sheet_stock import Clearances, SheetRoom, SheetStock, Strip
from patterns.shop.woods import same_wood, wood_called
from patterns.units.lengths import INCH, write_length, write_size

GAP = INCH / 2  # mm; or twice the cutter, so that no splinter stands between two of its paths. Common practice
MARGIN = INCH / 2  # mm; sheets come dented at their edges, and are held down by them. Common practice
CUTTER = INCH / 4  # mm, the commonest cutter for planking, common practice, no single source


def sheet_room(toml: BoatToml) -> SheetRoom | None:
    """The sheets there are; None where [stock] names none."""
    stock = toml.stock
    if stock is None or not (stock.sheet or stock.sheets):
        return None
    if stock.sheet:
        sheets: tuple[SheetStock, ...] = (SheetStock(stock.sheet.length, stock.sheet.width, price=stock.sheet.price),)
    else:
        sheets = tuple(_sheets(table) for table in stock.sheets or ())
    clear = Clearances(_margin(toml), _gap(toml), toml.router.grain_within)
    return SheetRoom(sheets, clear, plywood_of(toml), frozenset(_of_boards(toml)))


def sheets_of_moulds(toml: BoatToml, frames: FramesTable) -> tuple[tuple[float, float], ...]:
    """mm, length and width within their margins of the sheets that moulds are cut from."""
    room = sheet_room(toml)
    if room is None:
        return ()
    edge = 2 * room.clearances.margin
    sheets = room.sheets_for(frames.material, frames.sided)
    return tuple((sheet.length - edge, sheet.width - edge) for sheet in sheets)


def plywood_of(toml: BoatToml) -> Plywood:
    """Which materials come in sheets: those of sheets, and those that ``plywood`` lists or, without it, of panels."""
    sheets = (toml.stock.sheets if toml.stock else None) or ()
    listed = toml.stock.plywood if toml.stock else None
    of_panels = _of_panels(toml) if listed is None else listed
    return Plywood(frozenset(map(plain, (*of_panels, *(sheet.material for sheet in sheets if sheet.material)))))


def _of_panels(toml: BoatToml) -> list[str]:
    """What panels are made of, but for boards laid athwart and for solid wood of the handbook or of the boards."""
    laid = (table for _, table in toml.planking.tables if not (isinstance(table, BottomTable) and table.boards))
    named = dict.fromkeys(table.material for table in laid if table.material not in (None, NOT_STATED))
    return [name for name in named if name and wood_called(name) is None and not _is_of_boards(name, toml)]


def _is_of_boards(material: str, toml: BoatToml) -> bool:
    return any(same_wood(material, board) for board in _of_boards(toml))


def _of_boards(toml: BoatToml) -> list[str]:
    """Woods that come in boards: of those at hand and of those at the yard."""
    stock = toml.stock
    boards = (*(stock.boards or ()), *(stock.yard or ())) if stock else ()
    return [board.material for board in boards if board.material]


def _sheets(table: SheetsTable) -> SheetStock:
    return SheetStock(
        table.length,
        table.width,
        table.thickness,
        table.material,
        None if table.count is None else int(table.count),
        table.grain,
        tuple(Strip(strip.left, strip.bottom, strip.length, strip.width) for strip in table.forbidden or ()),
        table.price,
    )


def _gap(toml: BoatToml) -> float:
    return max(GAP, 2 * (toml.router.cutter or 0.0)) if toml.router.gap is None else toml.router.gap


def _margin(toml: BoatToml) -> float:
    return MARGIN if toml.router.margin is None else toml.router.margin


def sheet_defaults(toml: BoatToml) -> Iterator[tuple[str, str]]:
    """Keys and values taken for sheets that are named: (key, value as the builder would write it)."""
    if sheet_room(toml) is None:
        return
    if toml.router.gap is None:
        yield "[router] gap", f"{_gap(toml) / INCH:g} in"
    if toml.router.margin is None:
        yield "[router] margin", f"{_margin(toml) / INCH:g} in"
    if toml.stock and toml.stock.plywood is None:
        named = [*_of_panels(toml), *(sheet.material for sheet in toml.stock.sheets or () if sheet.material)]
        yield "[stock] plywood", ", ".join(dict.fromkeys(named)) or "none"


def joint_rules(toml: BoatToml, lines: Sequence[str]) -> JointRules | None:
    """How long panels of a hull with these long lines are joined; None without sheets where no joint is asked for."""
    room, strakes = sheet_room(toml), strakes_asked(toml, lines)
    if len(strakes) == 1:  # a round hull has no panels
        return None
    if room is None and not any(strake.rule.at for strake in strakes):
        return None
    return JointRules(
        tuple(
            PanelJoints(strake.name, strake.rule, _sizes(toml, lines, strake, room), f"[planking.{strake.key}]")
            for strake in strakes
        )
    )


def _sizes(toml: BoatToml, lines: Sequence[str], strake: StrakeAsked, room: SheetRoom | None) -> JointSizes:
    stock, router, planking = toml.stock, toml.router, strake.planking
    return JointSizes(
        longest=room.longest_run(planking.material, planking.thickness) if room else 0.0,
        scarf_ratio=stock.scarf if stock and stock.scarf else SCARF_RATIO,
        block_reach=stock.butt if stock and stock.butt else BLOCK_REACH,
        block_clear=_block_clear(toml, lines, strake),
        cutter=router.cutter or CUTTER,
        tooth_clearance=TOOTH_CLEARANCE if router.tooth_clearance is None else router.tooth_clearance,
    )


def _block_clear(toml: BoatToml, lines: Sequence[str], strake: StrakeAsked) -> float:
    """mm a butt block stays inside a panel's long edges: logs and inwale along a strake, planking and log else."""
    strakes = strakes_asked(toml, lines)
    place = [one.name for one in strakes].index(strake.name)
    beside, asked = list(chine_joints(toml, lines).items())[max(place - 1, 0) : place + 1], long_asked(toml)
    logs = [log for chine, joint in beside if joint is not Joint.LAPPED and (log := asked.log_at(chine))]
    if 0 < place == len(strakes) - 1:
        return strakes[-2].planking.thickness + max((log.sided for log in logs), default=0.0)
    rails = [toml.inwale.moulded] if toml.inwale and place == 0 else []
    return max((*rails, *(log.moulded for log in logs)), default=0.0)


def faults_of_sheets(toml: BoatToml, file: str, lines: Mapping[Path, int], show: str) -> Iterator[Problem]:
    """Sheets and what is kept free on them must leave room for parts, and for the cutter between them."""
    room = sheet_room(toml)
    if room is None:
        return
    key = "sheet" if toml.stock and toml.stock.sheet else "sheets"
    for sheet in room.sheets:
        if min(sheet.length, sheet.width) <= 2 * room.clearances.margin:
            found = f"a sheet of {write_length(sheet.length, show)} by {write_length(sheet.width, show)}"
            wanted = f"one larger than its two margins of {write_size(room.clearances.margin, show)} ([router] margin)"
            yield Problem(cell(file, lines, ("stock", key)), found, wanted)
    if toml.router.cutter is not None and room.clearances.gap < toml.router.cutter:
        wanted = (
            f"at least the cutter's diameter, {write_size(toml.router.cutter, show)}: the cutter runs between the parts"
        )
        yield Problem(cell(file, lines, ("router", "gap")), write_size(room.clearances.gap, show), wanted)
