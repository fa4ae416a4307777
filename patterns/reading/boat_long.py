"""The long pieces of boat.toml as rules."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from patterns.parts.long_rules import ChineLogRules, LongAsked, LongRules, SkegRules, StringerRules
from patterns.reading.boat_tables import (
    BoatToml,
    ChineLogTable,
    LongPieceTable,
    RubRailTable,
    SkegTable,
    StringerTable,
)
from patterns.reading.fitting_tables import riser_rules, thwart_rules


def long_asked(toml: BoatToml) -> LongAsked:
    """Every long piece the file asks for."""
    return LongAsked(
        chine_log=_log(toml.chine_log) if toml.chine_log else None,
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
    return ChineLogRules(
        "chine log", table.sided, table.moulded, table.material, table.planing, drain=drain, top_bevel=top
    )


def _rub_rail(table: RubRailTable) -> StringerRules:
    sizes = (table.sided, table.moulded, table.material, table.planing)
    return StringerRules("rub rail", *sizes, below_sheer=table.below_sheer)


def _stringers(tables: list[StringerTable]) -> Iterator[StringerRules]:
    names = [table.name for table in tables]
    for i, table in enumerate(tables):
        # Two patterns of one name would be one file.
        name = table.name if names.count(table.name) == 1 else f"{table.name} {names[:i].count(table.name) + 1}"
        yield StringerRules(
            name,
            table.sided,
            table.moulded,
            table.material,
            table.planing,
            below_sheer=table.below_sheer,
            from_centre=table.from_centre,
        )


def _skeg(table: SkegTable) -> SkegRules:
    return SkegRules(table.start, table.depth, table.sided, table.material)
