"""The long pieces of boat.toml as rules."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from patterns.drawing.engraving import in_file_name
from patterns.errors import Problem
from patterns.hull.build import Joint
from patterns.parts.asked.long_rules import ChineLogRules, LongAsked, LongRules, SkegRules, StringerRules
from patterns.reading.toml.boat_tables import (
    BoatToml,
    ChineLogTable,
    LongPieceTable,
    RubRailTable,
    SkegTable,
    StringerTable,
)
from patterns.reading.toml.faults import cell
from patterns.reading.toml.fitting_tables import riser_rules, thwart_rules
from patterns.reading.toml.toml_lines import Path
from patterns.reading.wording import one_of, quoted

_OTHER_PART = re.compile(
    r"(frame|mould|thwart|riser|(side|bottom)-panel|strake-[0-9]+)(-.*)?|(bow-)?(transom|quarter-knee)|(after-)?breasthook|(false-)?stem|"
    r"(false-)?sternpost|chine(-[0-9]+)?-log|inwale|outwale|rub-rail|keel-batten|keelson|skeg"
)


def long_asked(toml: BoatToml) -> LongAsked:
    """Every long piece the file asks for."""
    return LongAsked(
        chine_logs=tuple(map(_log, toml.chine_log or [])),
        inwale=_long("inwale", toml.inwale),
        outwale=_long("outwale", toml.outwale),
        rub_rail=_rub_rail(toml.rub_rail) if toml.rub_rail else None,
        keel_batten=_long("keel batten", toml.keel_batten),
        keelson=_long("keelson", toml.keelson),
        stringers=tuple(_stringers(toml.stringer or [])),
        risers=riser_rules(toml.riser, thwart_rules(toml.thwart or [])),
        skeg=_skeg(toml.skeg) if toml.skeg else None,
        through_fore=bool(toml.bow_transom and toml.bow_transom.through),
        through_aft=bool(toml.transom and toml.transom.through),
    )


def _long(name: str, table: LongPieceTable | None) -> LongRules | None:
    return LongRules(name, table.sided, table.moulded, table.material, table.planing) if table else None


def _log(table: ChineLogTable) -> ChineLogRules:
    drain, top = (None if degrees is None else float(np.radians(degrees)) for degrees in (table.drain, table.top_bevel))
    sizes = (table.sided, table.moulded, table.material, table.planing)
    return ChineLogRules("chine log", *sizes, drain=drain, top_bevel=top, at=table.at)


def faults_of_logs(
    tables: Sequence[ChineLogTable], joints: Mapping[str, Joint | None], file: str, lines: Mapping[Path, int]
) -> Iterator[Problem]:
    """A log at a chine that the boat has not, or that is lapped, or a second one for the same chine.

    Parameters
    ----------
    joints : Mapping
        How strakes meet at each chine.
    """
    chines = tuple(joints)
    said: list[str | None] = []
    for number, table in enumerate(tables):
        key = ("chine_log", number, "at")
        where = cell(file, lines, key)
        if table.at is None:
            if None in said:
                wanted = "the chine that this log is for: only one [[chine_log]] without at can stand for all others"
                yield Problem(where, "nothing", wanted)
        elif table.at not in chines:
            wanted = one_of(chines, table.at) if chines else "no chine log: the table of offsets has no chine"
            yield Problem(where, quoted(table.at), wanted)
        elif joints[table.at] is Joint.LAPPED:
            yield Problem(where, quoted(table.at), "no log there: that chine is lapped, and laps are fastened together")
        elif table.at in said:
            yield Problem(where, f"{quoted(table.at)} again", "each chine once")
        said.append(table.at)


def _rub_rail(table: RubRailTable) -> StringerRules:
    sizes = (table.sided, table.moulded, table.material, table.planing)
    return StringerRules("rub rail", *sizes, below_sheer=table.below_sheer)


def _stringers(tables: list[StringerTable]) -> Iterator[StringerRules]:
    for table, name in zip(tables, stringer_names(tables), strict=True):
        yield StringerRules(
            name,
            table.sided,
            table.moulded,
            table.material,
            table.planing,
            below_sheer=table.below_sheer,
            from_center=table.from_center,
        )


def stringer_names(tables: Sequence[StringerTable]) -> list[str]:
    """A name for each: those that could not be told apart as files' names are numbered."""
    keys = [in_file_name(table.name) for table in tables]
    return [
        table.name if keys.count(key) == 1 else f"{table.name} {keys[:i].count(key) + 1}"
        for i, (table, key) in enumerate(zip(tables, keys, strict=True))
    ]


def faults_of_stringers(tables: Sequence[StringerTable], file: str, lines: Mapping[Path, int]) -> Iterator[Problem]:
    """Names that another part has: two patterns of one name would be one file."""
    keys = [in_file_name(name) for name in stringer_names(tables)]
    for number, (table, key) in enumerate(zip(tables, keys, strict=True)):
        if key in keys[:number] or _OTHER_PART.fullmatch(key):
            where = cell(file, lines, ("stringer", number, "name"))
            yield Problem(where, quoted(table.name), "a name that no other part of the boat has")


def _skeg(table: SkegTable) -> SkegRules:
    return SkegRules(table.start, table.depth, table.sided, table.material)
