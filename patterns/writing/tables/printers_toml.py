"""The builder's own settings, written whole and put in place at once."""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from pathlib import Path

from patterns.errors import PatternsError
from patterns.tiling.paper.correction import Measured

HEAD = (
    "# How long the two bars of each printer's test page came out. Written by `scrieve printer`; to forget a printer\n"
    "# take its heading away with what stands under it.\n"
)


def write_printers(file: Path, printers: Mapping[str, Measured]) -> None:
    """Replace the file by one that holds these printers.

    Raises
    ------
    PatternsError
        The file cannot be written; the one that was there is as it was.
    """
    fresh = file.with_name(f".{file.name}.new-{os.getpid()}")
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        fresh.write_text(HEAD + "".join(_table(*printer) for printer in sorted(printers.items())), encoding="utf-8")
        os.replace(fresh, file)
    except OSError as error:
        fresh.unlink(missing_ok=True)
        raise PatternsError(f"{file}: cannot be written ({error.strerror or error})") from error


def _table(name: str, measured: Measured) -> str:
    # A JSON string is a TOML one, for the names that are let in.
    lines = [f"\n[printer.{json.dumps(name, ensure_ascii=False)}]"]
    lines += [f'{key} = "{length:.10g} mm"' for key, length in (("across", measured.across), ("down", measured.down))]
    if measured.paper:
        lines.append(f'paper = "{measured.paper}"')
    return "\n".join(lines) + "\n"
