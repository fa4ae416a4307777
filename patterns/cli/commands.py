"""Every command of ``scrieve``: its words, its options, and where the work is done. To add one, add a line here."""

from __future__ import annotations

from argparse import ArgumentParser
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple


class Command(NamedTuple):
    name: str
    help: str  # beside its name in ``scrieve --help``
    about: str  # in its own ``--help``
    options: Callable[[ArgumentParser], None]
    work: str  # "module:function"; imported when the command runs. Options arrive by the names they are stored under.


def _loft(parser: ArgumentParser) -> None:
    _boat(parser)
    parser.add_argument("--out", type=Path, metavar="DIR", help="where the job goes (default: BOAT/out)")
    parser.add_argument("--paper", metavar="SIZE", help="paper for the tiles, such as letter, A4, A3 or tabloid")


def _boat(parser: ArgumentParser) -> None:
    parser.add_argument("boat", type=Path, metavar="BOAT", help="folder with boat.toml and the table of offsets")


COMMANDS = (
    Command(
        "loft",
        "fair the lines and make every pattern",
        "Read a boat folder, fair its lines, lay the planking and write patterns for every part.",
        _loft,
        "patterns.cli.loft:loft_boat",
    ),
)
