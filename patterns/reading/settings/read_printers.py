"""The builder's own settings: which printers were measured, and what came of it."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

from patterns.errors import InputError, Problem
from patterns.reading.toml.faults import endless_number
from patterns.tiling.paper.correction import Measured
from patterns.units.lengths import A_LENGTH, read_length
from patterns.units.papers import paper_name

KEYS = ("across", "down", "paper")
WANTED = f"across and down, each {A_LENGTH}, in quotes and of more than 0; paper may be added"


def read_printers(file: Path) -> dict[str, Measured]:
    """The measured printers by name; none where the file is not there yet.

    Raises
    ------
    InputError
        Every fault of the file at once.
    """
    text = ""
    try:
        text = file.read_bytes().decode("utf-8")
        data = tomllib.loads(text)
    except FileNotFoundError:
        return {}
    except OSError as fault:
        raise InputError([Problem(str(file), (fault.strerror or str(fault)).lower(), "a file to read")]) from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as fault:
        raise InputError([Problem(str(file), f"text that cannot be read ({fault})", "TOML")]) from None
    except ValueError:
        raise InputError([endless_number(text, str(file))]) from None
    except RecursionError:
        raise InputError([Problem(str(file), "lists within lists without end", "TOML")]) from None
    problems: list[Problem] = []
    printers = data.pop("printer", {})
    if data or not isinstance(printers, dict):
        problems.append(Problem(str(file), f"'{next(iter(data), 'printer')}'", "tables such as [printer.study] only"))
        printers = {}
    found = {name: _measured(table, f"{file}, [printer.{name}]", problems) for name, table in printers.items()}
    if problems:
        raise InputError(problems)
    return {name: measured for name, measured in found.items() if measured}


def _measured(table: Any, cell: str, problems: list[Problem]) -> Measured | None:
    if not isinstance(table, dict) or not {"across", "down"} <= set(table) <= set(KEYS):
        found = ", ".join(table) or "nothing" if isinstance(table, dict) else repr(table)
        problems.append(Problem(cell, found, WANTED))
        return None
    across, down = (_length(table[key], f"{cell} {key}", problems) for key in ("across", "down"))
    paper = table.get("paper", "")
    try:
        return Measured(across, down, paper_name(str(paper)) if paper else "")
    except ValueError as wanted:
        problems.append(Problem(f"{cell} paper", repr(paper), str(wanted)))
        return None


def _length(value: Any, cell: str, problems: list[Problem]) -> float:
    try:
        mm = read_length(value, None).mm if isinstance(value, str) else 0.0
    except ValueError:
        mm = 0.0
    if mm <= 0:
        problems.append(Problem(cell, repr(value), f"{A_LENGTH}, in quotes and of more than 0"))
    return mm
