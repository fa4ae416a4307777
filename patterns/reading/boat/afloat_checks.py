"""What boat.toml says of weights and loads, held against the boat."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from patterns.errors import Problem
from patterns.geometry.arrays import Floats
from patterns.parts.materials import plain
from patterns.reading.toml.boat_tables import BoatToml
from patterns.reading.toml.faults import cell
from patterns.reading.toml.toml_lines import Path
from patterns.reading.wording import quoted
from patterns.units.lengths import write_length

PAST_ENDS = 600.0  # mm; a motor's weight hangs aft of the transom, a bowsprit's ahead of the stem
HIGHEST = 2500.0  # mm over the sheer; no weight that a small boat carries stands higher
LOWEST = 1000.0  # mm under base


def faults_of_afloat(
    toml: BoatToml, fore: Floats, aft: Floats, *, file: str, lines: Mapping[Path, int], show: str
) -> Iterator[Problem]:
    """A density twice over, and a load that is not aboard.

    Parameters
    ----------
    fore, aft : (n, 2) mm
        The profiles of both ends.
    """
    yield from _faults_of_woods(toml, file, lines)
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
    """A material with two densities."""
    seen = set[str]()
    for number, wood in enumerate(toml.wood or ()):
        if plain(wood.material) in seen:
            where = cell(file, lines, ("wood", number, "material"))
            yield Problem(where, f"{quoted(wood.material)} again", "each material once")
        seen.add(plain(wood.material))
