"""A boat folder: boat.toml and the table of offsets it names."""

from __future__ import annotations

import os
import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from hashlib import sha256
from pathlib import Path
from typing import Any, TypeVar

import numpy as np
from pydantic import BaseModel, TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from patterns.errors import InputError, Problem
from patterns.geometry.short_repr import one_line
from patterns.hull.build import Closing, End, EndFace, Stem, StemFace, Transom, TransomFace, closing_of
from patterns.hull.offsets import Offsets
from patterns.hull.round.figures import is_round
from patterns.hull.table_form import TableForm
from patterns.parts.asked.built_rules import BuiltAsked, BuiltFigure
from patterns.parts.asked.grain_rules import GrainRule
from patterns.parts.asked.rules import Boat, BoatLines, FrameRules
from patterns.reading.boat.blank_ends import BlankEnd, blank_ends, with_ends
from patterns.reading.boat.boat_long import long_asked
from patterns.reading.boat.cross_checks import faults_of_lines, faults_of_wood, frame_places, profiles, shown
from patterns.reading.boat.diagonals_asked import diagonals_asked
from patterns.reading.boat.fairing_asked import fairing_rules
from patterns.reading.boat.knuckles_asked import knuckles_asked
from patterns.reading.boat.planking_asked import planked_lines, planking_defaults, skin_asked
from patterns.reading.boat.read_built import BuiltOf, read_built
from patterns.reading.boat.round_checks import round_keel
from patterns.reading.boat.router_checks import transoms
from patterns.reading.boat.sheets_asked import joint_rules, plywood_of, sheet_defaults, sheet_room, sheets_of_moulds
from patterns.reading.boat.wood_needs import Need, WoodNeededError, needs_at
from patterns.reading.offsets.offsets_csv import read_offsets
from patterns.reading.toml.afloat_tables import afloat_rules
from patterns.reading.toml.bench_tables import board, saw_rules
from patterns.reading.toml.boat_tables import BoatToml, StockTable
from patterns.reading.toml.end_tables import StemLines, StemTable, TransomLines, TransomTable, end_work
from patterns.reading.toml.fastening_tables import fasten_rules, finish_rules
from patterns.reading.toml.faults import as_written, cell, details_of, endless_number, is_blank, problem_of
from patterns.reading.toml.fields import HeightsFrom, Positive
from patterns.reading.toml.fitting_tables import fittings_asked
from patterns.reading.toml.frame_tables import building, frame_rules, gusset_thickness, idle_keys
from patterns.reading.toml.lines_tables import LinesToml
from patterns.reading.toml.toml_lines import Path as KeyPath
from patterns.reading.toml.toml_lines import key_lines
from patterns.reading.toml.toml_table import meaning_of
from patterns.reading.toml.yard_tables import yard_boards
from patterns.reading.wording import quoted, unreadable
from patterns.shop.afloat.afloat_rules import AfloatRules
from patterns.shop.fastening.rules import FastenRules, FinishRules
from patterns.shop.nest.sheet_stock import SheetRoom
from patterns.shop.router.router_rules import DxfForm, RouterRules
from patterns.shop.saw.saw_rules import KERF, BenchRules
from patterns.shop.stock.yard import YardRules
from patterns.units.datums import BASE, Datum
from patterns.units.lengths import UNITS, read_length, write_length
from patterns.units.weights import METRIC

BOAT_TOML = "boat.toml"

_Table = tuple[Offsets, TableForm]


@dataclass(frozen=True, slots=True)
class Default:
    """A value the builder left to the program."""

    key: str  # as the file would have it: "[printer] overlap"
    value: str  # as the builder would write it: "16 mm"

    def shown(self, show: str) -> Default:
        """For a builder in metres what the trade gives in inches stands in his unit first."""
        if show.startswith(("in", "ft-in")) or not self.value.endswith(" in"):
            return self
        length = read_length(self.value, None).mm
        return replace(self, value=f"{write_length(length, show)} ({self.value})" if length else write_length(0, show))


@dataclass(frozen=True, slots=True)
class LinesFile:
    """A boat's lines as read, and the paper they are drawn on."""

    boat: BoatLines
    paper: str  # one of patterns.units.papers.paper_names()
    margin: float  # mm, of each sheet
    defaults: tuple[Default, ...]  # every default taken
    table: TableForm
    files: tuple[Path, ...]  # what was read
    digest: str = field(kw_only=True)  # SHA-256 of what those files hold
    needs: tuple[Need, ...] = field(default=(), kw_only=True)  # keys that wood needs besides
    # mm, of stem and sternpost, where the file says so already and the wood is not all there.
    sided: tuple[float | None, float | None] = field(default=(None, None), kw_only=True)
    unheeded: tuple[str, ...] = field(default=(), kw_only=True)  # tables of the file that such a hull has no use for

    def __repr__(self) -> str:
        read = " and ".join(file.name for file in self.files)
        return one_line(self, f"{self.boat.name}: {read}, to be printed on {self.paper}")


@dataclass(frozen=True, slots=True)
class BoatFile(LinesFile):
    """A boat as read with all that her wood needs, and what the file says of printing it."""

    boat: Boat
    overlap: float  # mm, of neighbouring tiles
    roll: float  # mm, width of the roll
    half: bool  # patterns alike on both sides in two halves
    printer: str  # the measured printer the sheets are corrected for; empty where the builder names none
    router: RouterRules
    bench: BenchRules
    sheets: SheetRoom | None  # None where [stock] says nothing of sheets
    afloat: AfloatRules  # densities, loads and water
    fastenings: FastenRules
    finish: FinishRules
    yard: YardRules = YardRules()  # what the lumber yard has; no boards where [stock] names none
    built: BuiltAsked | None = None  # None where nothing is said of what is built already

    __repr__ = LinesFile.__repr__


def read_boat(place: str | Path) -> BoatFile:
    """Read a boat from its folder, or from the path of its boat.toml.

    >>> read_boat("samples/saltmeadow")
    <BoatFile Saltmeadow: boat.toml and offsets.csv, to be printed on letter>

    Raises
    ------
    InputError
        Every fault of boat.toml and of the table it names, at once; a `WoodNeededError` where only keys that wood needs
        are absent.
    """
    read = _read(place, wood=True)
    if isinstance(read, BoatFile):
        return read
    raise WoodNeededError(read.files[0].name, read.needs)


def read_lines(place: str | Path) -> LinesFile:
    """Read a boat's lines from its folder, or from the path of its boat.toml; a `BoatFile` where wood is all there.

    Raises
    ------
    InputError
        Every fault of boat.toml and of the table it names, at once. Keys that only wood needs may be absent.
    """
    return _read(place, wood=False)


def _read(place: str | Path, *, wood: bool) -> LinesFile:
    """As `read_lines`; for ``wood``, faults are told with the keys that wood needs."""
    place = Path(place)
    path = place if place.suffix == ".toml" and not os.path.isdir(place) else place / BOAT_TOML
    text = _text(path)
    data = _parsed(text, path)
    lines = key_lines(text)
    of_table: list[Problem] = []
    table_path = _table_path(data, path)
    table = None
    if table_path and (problem := _no_table(table_path, data, cell(path.name, lines, ("boat", "offsets")))):
        of_table.append(problem)
    elif table_path:
        table = _table(table_path, data, of_table)
    round_hull = table is not None and is_round(table[0])
    checked = _checked(_without_bottom(data) if round_hull else data, path.name, lines)
    # A round hull's bottom is a copy of its side: a fault of the copy is a fault told twice.
    told = [one for one in checked.problems if not (round_hull and "[planking.bottom]" in one.cell)]
    problems = [*told, *of_table]
    blanks: tuple[BlankEnd, ...] = ()
    needs = checked.needs
    if checked.lines and table:
        table, blanks = _with_ends(checked.lines, *table)
        problems.extend(faults_of_lines(checked.lines, *table, file=path.name, lines=lines))
    if checked.whole and table:
        problems.extend(faults_of_wood(checked.whole, *table, file=path.name, lines=lines))
    of_built: list[Problem] = []
    built = _built(checked.whole, table[0], path, of_built) if checked.whole and table else None
    if problems or built is None or not built.cut:
        problems.extend(of_built)
    if table:
        needs = (*needs, *_unsaid_laps(data, table[0], needs))
    lacking = needs_at(needs, path.name, lines, _unit(data))
    lacking = tuple(need for need in lacking if not (round_hull and need.path[:2] == ("planking", "bottom")))
    if problems or checked.lines is None or table is None or table_path is None:
        raise InputError([*problems, *(need.problem for need in lacking if wood)])
    files = (path, table_path, *([path.parent / built.file] if built and not built.unread else []))
    if checked.whole and not lacking:
        read: LinesFile = replace(_boat_file(checked.whole, *table, files), built=built)
    else:
        sided = _sided(data, "stem"), _sided(data, "sternpost")
        read = replace(_lines_file(checked.lines, *table, files), needs=lacking, sided=sided)
    unheeded = ("[planking.bottom]",) if round_hull and _has_bottom(data) else ()
    return replace(read, defaults=(*read.defaults, *(_default_of(blank, read) for blank in blanks)), unheeded=unheeded)


def _has_bottom(data: dict[str, Any]) -> bool:
    planking = data.get("planking")
    return isinstance(planking, dict) and "bottom" in planking


def _without_bottom(data: dict[str, Any]) -> dict[str, Any]:
    """What the file says of a round hull, whose one planking is the side's: nothing is asked of a bottom."""
    planking = data.get("planking")
    if not isinstance(planking, dict) or not isinstance(side := planking.get("side"), dict):
        return data
    bottom = {key: side[key] for key in ("thickness", "material") if key in side}
    return {**data, "planking": {**planking, "bottom": bottom}}


def _built(toml: BoatToml, offsets: Offsets, path: Path, problems: list[Problem]) -> BuiltAsked | None:
    """What was measured of the boat, where boat.toml says that anything was; faults of its table are added."""
    if toml.built is None:
        return None
    halves = [row.name for row in offsets.half_breadths]
    boat = BuiltOf(
        frames=[one.name for one in frame_places(toml, offsets)],
        lines=offsets.lines,
        unit=toml.boat.units,
        on_centre=[line for line in offsets.lines if line not in halves],
    )
    figures: tuple[BuiltFigure, ...] = ()
    try:
        figures = read_built(path.parent / toml.built.figures, boat)
    except InputError as error:
        problems.extend(error.problems)
    # Whether the boat has a part of these names is known when it is lofted: faults of both are then told together.
    return BuiltAsked(toml.built.figures, figures, toml.built.within, toml.built.cut or (), tuple(problems))


def _unsaid_laps(data: dict[str, Any], offsets: Offsets, needs: Sequence[KeyPath]) -> Iterator[KeyPath]:
    """The key that says how a flat bottom meets the sides, where nothing does."""
    planking = data.get("planking")
    bottom = planking.get("bottom", {}) if isinstance(planking, dict) else {}
    said = isinstance(bottom, dict) and {"laps", "chine_joint"} & bottom.keys()
    path: KeyPath = ("planking", "bottom", "laps")
    if closing_of(offsets.lines) is Closing.FLAT and not said and path not in needs:
        yield path


def _with_ends(toml: LinesToml, offsets: Offsets, form: TableForm) -> tuple[_Table, tuple[BlankEnd, ...]]:
    """The table with end heights that it leaves blank and a profile gives, and which those are."""
    fore, aft = profiles(toml, offsets)
    if fore is None or aft is None:
        return (offsets, form), ()
    blanks = tuple(blank_ends(offsets, fore=fore, aft=aft))
    return (with_ends(offsets, blanks), form), blanks


def _default_of(blank: BlankEnd, read: LinesFile) -> Default:
    end = read.boat.offsets.columns[blank.place]
    height = write_length(blank.height, read.boat.show)
    return Default(f"[offsets] {blank.line} height at {end}", f"{height}, the {blank.where} of the {end}'s profile")


def _text(path: Path) -> str:
    try:
        return path.read_bytes().decode("utf-8").removeprefix("\ufeff")
    except FileNotFoundError:
        raise InputError([Problem(path.name, "no such file", f"a boat at {path}")]) from None
    except OSError as fault:
        found = unreadable(fault)
        raise InputError([Problem(path.name, found, f"a boat at {path}")]) from None
    except UnicodeDecodeError:
        raise InputError([Problem(path.name, "something other than UTF-8 text", "UTF-8 text")]) from None


def _parsed(text: str, path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        what, _, where = str(fault).partition(" (at ")
        line = re.search(r"line (\d+)", where)
        # The reader says no line where the file ends too early.
        # Only these end a line of TOML; Python's own splitlines counts form feeds and others too.
        rows = re.split(r"\r?\n", text.rstrip())
        number = int(line[1]) if line else len(rows)
        written = rows[min(number, len(rows)) - 1].strip()
        cell = f"{path.name}, line {number}"
        if what.startswith("Cannot declare"):
            raise InputError([Problem(cell, f"{quoted(written)} again", "each table once")]) from None
        wanted = f'TOML such as sided = "2 1/2 in" ({what[:1].lower()}{what[1:]})'
        raise InputError([Problem(cell, quoted(written), wanted)]) from None
    except ValueError:
        raise InputError([endless_number(text, path.name)]) from None
    except RecursionError:
        raise InputError([Problem(path.name, "lists within lists without end", "TOML")]) from None


@dataclass(frozen=True, slots=True)
class _Checked:
    """boat.toml held against its models."""

    lines: LinesToml | None  # None where the lines have faults
    whole: BoatToml | None  # None where anything has, or keys that wood needs are absent
    needs: tuple[KeyPath, ...]  # those keys
    problems: tuple[Problem, ...]


def _checked(data: dict[str, Any], file: str, lines: Mapping[KeyPath, int]) -> _Checked:
    of_lines, faults = _validated(LinesToml, data)
    whole, of_both = _validated(BoatToml, data)
    own = {tuple(detail["loc"]) for detail in faults}
    blank = [detail for detail in of_both if is_blank(detail) and tuple(detail["loc"]) not in own]
    problems = tuple(dict.fromkeys(problem_of(detail, file, lines) for detail in of_both if detail not in blank))
    return _Checked(of_lines, whole, tuple(tuple(detail["loc"]) for detail in blank), problems)


_Toml = TypeVar("_Toml", bound=LinesToml)


def _validated(model: type[_Toml], data: dict[str, Any]) -> tuple[_Toml | None, list[ErrorDetails]]:
    try:
        return model.model_validate(data, context={"unit": _unit(data)}), []
    except ValidationError as error:
        return None, details_of(error)


def _boat_table(data: dict[str, Any]) -> dict[str, Any]:
    table = data.get("boat")
    return table if isinstance(table, dict) else {}


def _unit(data: dict[str, Any]) -> str | None:
    """What a bare number means, found before anything is checked because every check needs it."""
    units = _boat_table(data).get("units")
    if units is None:
        return None
    plain = units.strip().lower() if isinstance(units, str) else ""
    # A unit nobody knows is a fault by itself; bare numbers need not be faults as well.
    return plain if plain in UNITS else "in"


def _datum(data: dict[str, Any]) -> Datum | None:
    """What the table's heights are measured from, found early like the unit; None for what is a fault by itself."""
    heights_from = _boat_table(data).get("heights_from", BASE.name)
    try:
        return TypeAdapter(HeightsFrom).validate_python(heights_from, context={"unit": _unit(data)})
    except ValidationError:
        return None


def _sided(data: dict[str, Any], end: str) -> float | None:
    """mm, how thick the file says that a stem is, where it can be read; a fault of it is told elsewhere."""
    table = data.get(end)
    try:
        written = table["sided"] if isinstance(table, dict) else None
        return TypeAdapter(Positive).validate_python(written, context={"unit": _unit(data)})
    except (KeyError, ValidationError):
        return None


def _table_path(data: dict[str, Any], path: Path) -> Path | None:
    name = _boat_table(data).get("offsets")
    return path.parent / name if isinstance(name, str) and name.strip() else None


def _no_table(path: Path, data: dict[str, Any], place: str) -> Problem | None:
    """The fault of a key that names a table where there is no file of that name."""
    try:
        there = path.exists()
    except (OSError, ValueError):  # a name no system takes: whoever reads it says so
        there = True
    found = f"{as_written(_boat_table(data)['offsets'])}, no such file"
    return None if there else Problem(place, found, f"a table of offsets at {path}")


def _table(path: Path, data: dict[str, Any], problems: list[Problem]) -> _Table | None:
    try:
        return read_offsets(path, _unit(data), _datum(data))
    except InputError as error:
        problems.extend(error.problems)
        return None


def _boat_file(toml: BoatToml, offsets: Offsets, form: TableForm, files: tuple[Path, ...]) -> BoatFile:
    printer, show = toml.printer, shown(toml, form)
    idle = {f"[frames] {key}" for key in idle_keys(toml.frames, toml.frame or [])} if toml.frames else set[str]()
    first = _first_defaults(toml, show)
    if toml.frames and toml.frames.gusset is None and "[frames] gusset" not in idle:
        first += (Default("[frames] gusset", write_length(gusset_thickness(toml.frames), show)),)
    taken_elsewhere = (*planking_defaults(toml, planked_lines(offsets), show), *sheet_defaults(toml))
    defaults = (*_defaults(toml), *(Default(*taken) for taken in taken_elsewhere))
    return BoatFile(
        boat=_boat(toml, offsets, show),
        paper=printer.paper,
        margin=printer.margin,
        overlap=printer.overlap,
        roll=printer.roll,
        half=is_round(offsets) if printer.half is None else printer.half,  # a mould is alike on both sides
        printer=printer.name,
        router=_router(toml),
        bench=_bench(toml),
        yard=_yard(toml),
        fastenings=fasten_rules(toml.fastenings, unit=toml.boat.units, metric=show in METRIC),
        finish=finish_rules(toml.finish, unit=toml.boat.units),
        sheets=sheet_room(toml),
        afloat=afloat_rules(toml.wood, toml.load, toml.afloat),
        defaults=(*first, *(one.shown(show) for one in defaults if one.key not in idle)),
        table=form,
        files=files,
        digest=_digest(files),
    )


def _lines_file(toml: LinesToml, offsets: Offsets, form: TableForm, files: tuple[Path, ...]) -> LinesFile:
    show = shown(toml, form)
    lines = BoatLines(
        fore=_face(toml.stem or toml.bow_transom),
        aft=_face(toml.transom or toml.sternpost),
        lines_to=toml.boat.lines_to,
        **_of_lines(toml, offsets, show),
    )
    defaults = (*_first_defaults(toml, show), *(one.shown(show) for one in _defaults(toml)))
    return LinesFile(lines, toml.printer.paper, toml.printer.margin, defaults, form, files, digest=_digest(files))


def _digest(files: Sequence[Path]) -> str:
    return sha256(b"".join(sha256(file.read_bytes()).digest() for file in files)).hexdigest()


def _first_defaults(toml: LinesToml, show: str) -> tuple[Default, ...]:
    return () if toml.boat.show else (Default("[boat] show", show),)


def _of_lines(toml: LinesToml, offsets: Offsets, show: str) -> dict[str, Any]:
    """What the lines are faired by, by the names a `BoatLines` has for it, but for ends and faces."""
    return {
        "name": toml.boat.name,
        "about": toml.boat.about,
        "offsets": offsets,
        "fair_within": toml.boat.fair_within,
        "show": show,
        "fairing": fairing_rules(toml, offsets),
        "knuckles": knuckles_asked(toml, offsets),
        "diagonals": diagonals_asked(toml, offsets),
    }


def _face(table: StemLines | TransomLines | None) -> EndFace:
    match table:
        case StemLines():
            return StemFace(np.array(table.profile))
        case TransomLines():
            return TransomFace(np.array(table.profile), radius=table.radius)
        case None:
            raise AssertionError("a boat without an end has been refused")


def _boat(toml: BoatToml, offsets: Offsets, show: str) -> Boat:
    plywood = plywood_of(toml)
    return Boat(
        fore=_end(toml.stem or toml.bow_transom),
        aft=_end(toml.transom or toml.sternpost),
        skin=skin_asked(toml, planked_lines(offsets)),
        frames=_frames(toml, offsets),
        long=long_asked(toml),
        fitted=fittings_asked(toml.thwart or [], toml.thwart_knee, toml.breasthook, toml.quarter_knee, plywood=plywood),
        building=building(toml.building),
        keel=round_keel(toml),
        fore_work=end_work(toml.stem or toml.bow_transom),
        aft_work=end_work(toml.transom or toml.sternpost),
        joints=joint_rules(toml, planked_lines(offsets)),
        plywood=plywood,
        grain=tuple(GrainRule(one.part, one.lies) for one in toml.grain or ()),
        **_of_lines(toml, offsets, show),
    )


def _frames(toml: BoatToml, offsets: Offsets) -> FrameRules | None:
    if toml.frames is None:
        return None
    places = frame_places(toml, offsets)
    return frame_rules(toml.frames, toml.frame or [], places, sheets_of_moulds(toml, toml.frames))


def _end(table: StemTable | TransomTable | None) -> End:
    match table:
        case StemTable():
            return Stem(np.array(table.profile), table.sided, table.moulded)
        case TransomTable():
            return Transom(np.array(table.profile), table.thickness, table.crown, table.material, radius=table.radius)
        case None:
            raise AssertionError("a boat without an end has been refused")


def _bench(toml: BoatToml) -> BenchRules:
    stock = toml.stock or StockTable()
    saw = saw_rules(toml.saw) if toml.saw else None
    return BenchRules(saw, tuple(map(board, stock.boards or [])), stock.board_scarf, stock.holding, stock.moisture)


def _yard(toml: BoatToml) -> YardRules:
    stock = toml.stock or StockTable()
    return YardRules(
        boards=tuple(yard_boards(stock.yard or [])),
        ends=stock.board_ends,
        edges=stock.board_edges,
        blank_ends=stock.blank_ends,
        blank_edges=stock.blank_edges,
        kerf=toml.saw.kerf if toml.saw else KERF,
        scarf=stock.board_scarf,
        currency=stock.currency or "",
    )


def _router(toml: BoatToml) -> RouterRules:
    table = toml.router
    return RouterRules(
        cut=table.cut,
        cutter=table.cutter,
        relief=table.relief,
        clearance=table.clearance,
        tabs=int(table.tabs),
        tab_length=table.tab_length,
        tab_height=table.tab_height,
        skin=table.skin or 0.0,
        index=table.index,
        pilot=table.pilot,
        pilot_edge=table.pilot_edge,
        transoms=transoms(toml),
        pilot_spacing=table.pilot_spacing,
        frame_spacing=table.frame_spacing,
        frame_sided=toml.frames.sided if toml.frames else 0.0,
        words=table.lettering,
        svg=table.svg,
        form=DxfForm(table.dxf, table.plain_colors, table.layers.own_names if table.layers else ()),
    )


def _defaults(toml: LinesToml) -> Iterator[Default]:
    """The defaults taken in tables that are used; those of one that is absent too."""
    logs = (toml.chine_log or []) if isinstance(toml, BoatToml) else []
    unit = toml.boat.units
    for name in type(toml).model_fields:
        for log in logs if name == "chine_log" else []:
            yield from _defaults_in(log, f"{name} at {log.at}" if log.at else name, unit)
        yield from _defaults_in(getattr(toml, name), name, unit)


def _defaults_in(table: Any, name: str, unit: str | None) -> Iterator[Default]:
    if not isinstance(table, BaseModel):
        return
    for key, said in type(table).model_fields.items():
        value = getattr(table, key)
        if isinstance(value, BaseModel):
            yield from _defaults_in(value, f"{name}.{key}", unit)
        # A default of None or "" is a thing left out, not one that was chosen.
        elif key not in table.model_fields_set and said.default and key not in getattr(table, "idle", ()):
            metric = meaning_of(said).metric if unit in METRIC else None
            yield Default(f"[{name}] {key}", str(said.default if metric is None else metric))
