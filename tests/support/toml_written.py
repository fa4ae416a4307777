"""Values as a boat.toml."""

from __future__ import annotations

import json
from typing import Any

Toml = dict[str, Any]


def toml(value: Any) -> str:
    match value:
        case bool():
            return str(value).lower()
        case int():
            return "1" + "0" * 5000 if abs(value) > 10**4000 else str(value)
        case float():
            return repr(value)
        case str():
            return json.dumps(value, ensure_ascii=False)
        case list():
            return f"[{', '.join(map(toml, value))}]"
        case _:
            return "{ " + ", ".join(f"{json.dumps(k)} = {toml(v)}" for k, v in value.items()) + " }"


def toml_text(data: Toml) -> str:
    """Tables under headings, as builders write them; what has become no table, first."""
    plain = [f"{key} = {toml(value)}" for key, value in data.items() if not isinstance(value, dict)]
    tables = [(key, value) for key, value in data.items() if isinstance(value, dict)]
    return "\n".join(
        [*plain, *(f"[{key}]\n" + "\n".join(f"{k} = {toml(v)}" for k, v in value.items()) for key, value in tables)]
    )
