"""What boat.toml says of weights and loads, held against the boat."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from pydantic import BaseModel

from patterns.errors import Problem
from patterns.geometry.arrays import Floats
from patterns.parts.materials import NOT_STATED, plain
from patterns.reading.toml.afloat_tables import WoodTable
from patterns.reading.toml.boat_tables import BoatToml
from patterns.reading.toml.faults import cell
from patterns.reading.toml.toml_lines import Path
from patterns.reading.wording import one_of, quoted
from patterns.units.lengths import write_length

PAST_ENDS = 600.0  # mm; a motor's weight hangs aft of the transom, a bowsprit's ahead of the stem
HIGHEST = 2500.0  # mm over the sheer; no weight that a small boat carries stands higher
LOWEST = 1000.0  # mm under base


def faults_of_afloat(
    toml: BoatToml, fore: Floats, aft: Floats, *, file: str, lines: Mapping[Path, int], show: str
) -> Iterator[Problem]:
    """A density twice over or of no part, and a load twice over or not aboard.

    Parameters
    ----------
    fore, aft : (n, 2) mm
        The profiles of both ends.
    """
    yield from _faults_of_woods(toml, file, lines)
    yield from _loads_again(toml, file, lines)
    first, last = float(fore[:, 0].min()) - PAST_ENDS, float(aft[:, 0].max()) + PAST_ENDS
    top = float(max(fore[:, 1].max(), aft[:, 1].max())) + HIGHEST
    for number, load in enumerate(toml.load or ()):
        for key, mm, low, high in (("at", load.at, first, last), ("height", load.height, -LOWEST, top)):
            if not low <= mm <= high:
                limits = f"{write_length(low, show)} to {write_length(high, show)}"
                where = "a distance from FP" if key == "at" else "a height above base"
                yield Problem(
                    cell(file, lines, ("load", number, key)), write_length(mm, show), f"{where} aboard, {limits}"
                )


def _faults_of_woods(toml: BoatToml, file: str, lines: Mapping[Path, int]) -> Iterator[Problem]:
    """A material with two densities, and one that nothing else of the file is made of."""
    seen = set[str]()
    used = {plain(name): name for name in _materials(toml)}
    for number, wood in enumerate(toml.wood or ()):
        if plain(wood.material) in seen:
            where = cell(file, lines, ("wood", number, "material"))
            yield Problem(where, f"{quoted(wood.material)} again", "each material once")
        elif plain(wood.material) not in used:
            where = cell(file, lines, ("wood", number, "material"))
            yield Problem(
                where, quoted(wood.material), f"a material of this file: {one_of(used.values(), wood.material)}"
            )
        seen.add(plain(wood.material))


def _materials(table: BaseModel) -> Iterator[str]:
    """What everything in the file is made of or cut from, but the densities themselves."""
    for key in type(table).model_fields:
        value = getattr(table, key)
        if key in ("material", "plywood") or key.endswith("_material"):
            named = value if isinstance(value, tuple | list) else [value]
            yield from (str(name) for name in named if name not in (None, NOT_STATED))
        for inner in value.values() if isinstance(value, dict) else value if isinstance(value, list) else [value]:
            if isinstance(inner, BaseModel) and not isinstance(inner, WoodTable):
                yield from _materials(inner)


def _loads_again(toml: BoatToml, file: str, lines: Mapping[Path, int]) -> Iterator[Problem]:
    """Two loads of one name, which nobody could tell apart: or one pasted twice."""
    seen = set[str]()
    for number, load in enumerate(toml.load or ()):
        if plain(load.name) in seen:
            where = cell(file, lines, ("load", number, "name"))
            yield Problem(where, f"{quoted(load.name)} again", "a name for each load, such as rower 1 and rower 2")
        seen.add(plain(load.name))
