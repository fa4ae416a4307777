"""Examples of what a builder writes in boat.toml, in his own units."""

from __future__ import annotations

import json
from typing import Any

from patterns.units.lengths import INCH, read_length

COARSE = 25.0  # mm; above it an example in millimetres is a whole number of them


def in_units(value: Any, units: str | None) -> Any:
    """An example with its lengths, which are in inches, made millimetres where the builder's units are metric."""
    if units in (None, "in", "ft"):
        return value
    match value:
        case str():
            return _metric(value)
        case list() | tuple():
            return [in_units(item, units) for item in value]
        case dict():
            return {key: in_units(item, units) for key, item in value.items()}
        case _:
            return value


def _metric(text: str) -> str:
    try:
        mm = read_length(text, None).mm
    except ValueError:
        return text
    return (
        f"{mm:.0f} mm" if mm >= COARSE or mm == 0 else f"{round(2 * mm) / 2:g} mm" if mm > INCH / 16 else f"{mm:.1f} mm"
    )


def as_toml(value: Any) -> str:
    """A value as boat.toml has it."""
    match value:
        case dict():
            return f"{{ {', '.join(f'{key} = {as_toml(item)}' for key, item in value.items())} }}"
        case list() | tuple():
            return f"[{', '.join(map(as_toml, value))}]"
        case _:
            return json.dumps(value, ensure_ascii=False)  # TOML has the escapes of JSON
