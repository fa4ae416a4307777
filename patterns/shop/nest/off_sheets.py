"""Parts that are on no sheet because of their material or thickness: why, and the key of boat.toml that mends it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum, auto

from patterns.parts.cautions import Caution
from patterns.parts.materials import NOT_STATED
from patterns.parts.part import Part
from patterns.parts.role import Role
from patterns.shop.nest.sheet_stock import SAME_THICKNESS, SheetRoom
from patterns.shop.woods import same_wood, wood_called
from patterns.units.lengths import write_size


class WhyOff(Enum):
    """Why no sheet is for a part."""

    NOT_STATED = auto()
    SOLID = auto()
    UNKNOWN = auto()  # neither among the sheets nor among the boards, and no wood of the handbook's
    NO_SHEET = auto()


def why_off(part: Part, room: SheetRoom) -> WhyOff | None:
    """Why no sheet is for a part; None where one is."""
    if part.material == NOT_STATED:
        return WhyOff.NOT_STATED
    if room.sheets_for(part.material, part.thickness):
        return None
    if room.is_sheet_material(part.material):
        return WhyOff.NO_SHEET
    known = _on_boards(part.material, room) or wood_called(part.material) is not None
    return WhyOff.SOLID if known else WhyOff.UNKNOWN


def _on_boards(material: str, room: SheetRoom) -> bool:
    return any(same_wood(material, board) for board in room.solid)


def solid_words(material: str) -> str:
    return f"{material} is solid wood unless [stock] plywood lists it"


def cautions_of_sheets(parts: Sequence[Part], room: SheetRoom | None, show: str) -> tuple[Caution, ...]:
    """Warnings of all parts that should be on sheets and are on none; nothing where no sheets are named.

    Parameters
    ----------
    parts : sequence
        Every piece that is cut.
    show : str
        How lengths are printed.
    """
    return () if room is None else tuple(_cautions(parts, room, show))


def _cautions(parts: Sequence[Part], room: SheetRoom, show: str) -> Iterator[Caution]:
    off = [(why_off(part, room), part) for part in parts]
    yield from _not_stated([part for why, part in off if why is WhyOff.NOT_STATED])
    lacking: dict[str, list[Part]] = {}
    for why, part in off:
        if why is WhyOff.UNKNOWN:
            lacking.setdefault(_unknown_words(part.material, parts, room), []).append(part)
        elif (
            why is WhyOff.SOLID
            and part.role is Role.PANEL
            and not part.of_boards
            and not _on_boards(part.material, room)
        ):
            lacking.setdefault(_solid_panel_words(part.material, parts, room), []).append(part)
        elif why is WhyOff.NO_SHEET:
            lacking.setdefault(_no_sheet_words(part, room, show), []).append(part)
    yield from (Caution("; ".join(in_kinds(map(named, some))), words) for words, some in lacking.items())


def _not_stated(parts: Sequence[Part]) -> Iterator[Caution]:
    keys: dict[str, list[Part]] = {}
    for part in parts:
        keys.setdefault(part.material_key, []).append(part)
    if keys:
        told = "; ".join(f"{', '.join(in_kinds(map(named, some)))} ({key})" for key, some in keys.items())
        cure = 'These parts are on no sheet. Write each key, such as material = "marine plywood".'
        yield Caution("material", f"not stated for {told}. {cure}")


def _unknown_words(material: str, parts: Sequence[Part], room: SheetRoom) -> str:
    return (
        f"{material} is neither among the sheets nor among the boards of [stock], so it is on no sheet. If it is "
        f"plywood, write {_plywood_line(material, parts, room)} in [stock]; if it is solid wood, name it in "
        "[[stock.boards]] or [[stock.yard]]."
    )


def _solid_panel_words(material: str, parts: Sequence[Part], room: SheetRoom) -> str:
    """A wood's name alone: plywood is sold by it too, and a panel is plywood more often than not."""
    return (
        f"{material} counts as solid wood, so it is neither joined nor on a sheet. If it is plywood, write "
        f"{_plywood_line(material, parts, room)} in [stock]; if it is solid wood, name it in [[stock.boards]]."
    )


def _plywood_line(material: str, parts: Sequence[Part], room: SheetRoom) -> str:
    plywood = sorted({material, *(part.material for part in parts if part.material in room.plywood)})
    listed = ", ".join(f'"{name}"' for name in plywood)
    return f"plywood = [{listed}]"


def _no_sheet_words(part: Part, room: SheetRoom, show: str) -> str:
    wanted = f"{write_size(part.thickness, show)} {part.material}"
    sheets = [sheet.thickness for sheet in room.sheets_of(part.material) if sheet.thickness is not None]
    if not sheets:
        there = ", ".join(sorted({sheet.material for sheet in room.sheets if sheet.material}))
        return (
            f"no sheet of [stock] is {part.material}: there is {there}. Write both names alike if they are one "
            "material, or add a sheet to [[stock.sheets]]."
        )
    nearest = min(sheets, key=lambda thickness: abs(thickness - part.thickness))
    return (
        f"no sheet of [stock] is {wanted}: the nearest is {write_size(nearest, show)} thick, "
        f"{write_size(abs(nearest - part.thickness), show)} off, and {write_size(SAME_THICKNESS, show)} may be. Add a "
        "sheet to [[stock.sheets]], or measure both and correct their thickness."
    )


@dataclass(frozen=True, slots=True)
class Named:
    """A piece by its own name and by what it is counted among."""

    name: str  # "frame 1 gusset, 3 of 4"
    kind: str  # "pieces of frames"


def named(part: Part, name: str = "") -> Named:
    """A part, or one of several alike by a name of its own. Frames' pieces are counted together, so are both hands."""
    return Named(name or part.title, "pieces of frames" if Role.FRAME in (part.role, part.of_a) else part.name)


def in_kinds(pieces: Iterable[Named]) -> Iterator[str]:
    """Pieces counted: "pieces of frames (4)", "inwale (2)"; one alone of its kind by its name."""
    pieces = tuple(pieces)
    alone = {piece.name for piece in pieces}
    for kind, count in Counter(piece.kind for piece in pieces).items():
        yield kind if count == 1 and kind in alone else f"{kind} ({count})"
