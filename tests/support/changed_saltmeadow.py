"""Saltmeadow with words of her files changed, as she is read or refused."""

from __future__ import annotations

from pathlib import Path

import pytest
from commanded import SALTMEADOW

from patterns.errors import InputError
from patterns.hull.fairing_rules import FairingRule
from patterns.reading.boat.boat_toml import BoatFile, read_boat

TOML = (SALTMEADOW / "boat.toml").read_text()
OFFSETS = (SALTMEADOW / "offsets.csv").read_text()
Changes = tuple[tuple[str, str], ...]


def replaced(text: str, changes: Changes) -> str:
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return text


def read(folder: Path, *changes: tuple[str, str], table: Changes = ()) -> BoatFile:
    """Saltmeadow with each first text replaced."""
    (folder / "boat.toml").write_text(replaced(TOML, changes))
    (folder / "offsets.csv").write_text(replaced(OFFSETS, table))
    return read_boat(folder)


def faults(folder: Path, *changes: tuple[str, str], table: Changes = ()) -> list[str]:
    with pytest.raises(InputError) as refused:
        read(folder, *changes, table=table)
    return [str(problem) for problem in refused.value.problems]


def fairing_rules(folder: Path, text: str) -> tuple[FairingRule, ...]:
    (folder / "offsets.csv").write_text((SALTMEADOW / "offsets.csv").read_text())
    (folder / "boat.toml").write_text((SALTMEADOW / "boat.toml").read_text() + text)
    return read_boat(folder).boat.fairing


def refused_rules(folder: Path, text: str) -> list[str]:
    with pytest.raises(InputError) as fault:
        fairing_rules(folder, text)
    return [line.partition(", [[")[2] for line in str(fault.value).splitlines()]
