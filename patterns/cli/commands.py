"""Every command of ``scrieve``: its words, its options, and where the work is done. To add one, add a line here."""

from __future__ import annotations

from argparse import ArgumentParser, ArgumentTypeError
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

# Named here and not imported, so that --help waits for nothing; a test holds them to what new boats are made of.
HULLS = ("flat", "v", "multi-chine", "dory", "lapped", "pram", "double-ended")
UNITS = ("in", "ft", "mm", "cm", "m")
MOST_STATIONS = 60


class Command(NamedTuple):
    name: str
    help: str  # beside its name in ``scrieve --help``
    about: str  # in its own ``--help``
    options: Callable[[ArgumentParser], None]
    work: str  # "module:function"; imported when the command runs. Options arrive by the names they are stored under.


def _loft(parser: ArgumentParser) -> None:
    _boat(parser)
    parser.add_argument("--out", type=Path, metavar="DIR", help="where the job goes (default: BOAT/out)")
    parser.add_argument("--paper", metavar="SIZE", help="paper for the tiles: letter, A4, tabloid, '13x19 in' ...")
    parser.add_argument("--printer", metavar="NAME", help="correct the pages for this measured printer, or 'none'")
    parser.add_argument("--one-page", action="store_true", help="the roll in one page, however long")
    parser.add_argument("--sticks", action="store_true", help="story sticks on pages too, not on the roll alone")
    parser.add_argument("--svg-tiles", action="store_true", help="every tile as an SVG file too")
    parser.add_argument("--scale", metavar="1:N", help="a model too, to be cut from card, such as 1:8")
    parser.add_argument(
        "--only", action="append", default=[], metavar="NAME",
        help="print this pattern, or those whose names begin so: frame, 'frame 3', transom ...; may be repeated",
    )  # fmt: skip
    parser.add_argument("--timbers", action="store_true", help="print each timber of a sawn frame by itself too")
    parser.add_argument("--date", default="", help="printed on every pattern (default: a rule to write it on)")
    parser.add_argument(
        "--saw-allowance", metavar="LENGTH", help="draw a saw line this far outside the finished line, as 1.5mm"
    )
    parser.add_argument("--no-notes", dest="notes", action="store_false", help="no bevels, names or explanations")
    parser.add_argument("--no-grid", dest="grid", action="store_false", help="no datum lines, no figures by crosses")
    parser.add_argument("--half", action="store_true", help="patterns alike on both sides as two halves, to be joined")
    parser.add_argument("--no-pricks", dest="pricks", action="store_false", help="no prick points")
    parser.add_argument("--quiet", action="store_true", help="say nothing but warnings and what went wrong")


def _fair(parser: ArgumentParser) -> None:
    _boat(parser)
    parser.add_argument(
        "--out", type=Path, metavar="DIR", help="where drawings and the faired table go (default: BOAT/lines)"
    )
    parser.add_argument(
        "--ease-twist", action="store_true", help="find the least movement of the lines that lets the side develop"
    )


def _nest(parser: ArgumentParser) -> None:
    _boat(parser)
    parser.add_argument("--out", type=Path, metavar="DIR", help="where the sheets go (default: BOAT/sheets)")
    parser.add_argument("--effort", choices=("quick", "hard"), default="quick", help="hard: a minute for fewer sheets")
    parser.add_argument("--placements", type=Path, metavar="FILE", help="prove and write sheets as this file has them")


def _printer(parser: ArgumentParser) -> None:
    parser.add_argument("--name", help="the printer's name, one of your own (default: the printer used for every job)")
    parser.add_argument("--paper", metavar="SIZE", help="the paper in its tray (default: letter)")
    parser.add_argument("--out", type=Path, metavar="FILE", help="the test page (default: printer-test-PAPER.pdf)")
    parser.add_argument("--measured-across", metavar="LENGTH", help="the bar along the paper's short side, as 199.2mm")
    parser.add_argument("--measured-down", metavar="LENGTH", help="the bar along its long side, as 249.5mm")


def _new(parser: ArgumentParser) -> None:
    parser.add_argument("folder", type=Path, metavar="DIR", help="where the boat goes; nothing there is overwritten")
    parser.add_argument("--hull", choices=HULLS, help="its kind (default: flat)")
    parser.add_argument("--units", choices=UNITS, help="what a bare number of its plan means (default: in)")
    parser.add_argument("--stations", type=_stations, metavar="N", help="between the ends (default: 6)")
    parser.add_argument(
        "--spacing", metavar="LENGTH", help="of stations that stand evenly, the first so far from FP, as 2-0-0"
    )
    parser.add_argument(
        "--lines-to", choices=("outside", "inside"), help="the face of the planking that the plan's lines give"
    )
    parser.add_argument(
        "--heights-from", metavar="DATUM", help="base (the default), base-above=LENGTH or water-line=LENGTH"
    )
    parser.add_argument("--full", action="store_true", help="write every table and key with its meaning")


def _stations(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= MOST_STATIONS:
        raise ArgumentTypeError(f"found {text!r}, expected a whole number from 1 to {MOST_STATIONS}")
    return int(text)


def _boat(parser: ArgumentParser) -> None:
    parser.add_argument("boat", type=Path, metavar="BOAT", help="folder with boat.toml and the table of offsets")


COMMANDS = (
    Command(
        "new",
        "start a boat folder to fill in",
        "Write boat.toml and a table of offsets for a kind of hull, with a ? for each figure that the lines need. On a "
        "terminal it asks for what no option says.",
        _new,
        "patterns.cli.new:start_boat",
    ),
    Command(
        "loft",
        "fair the lines and make every pattern",
        "Read a boat folder, fair its lines, lay the planking and write patterns for every part.",
        _loft,
        "patterns.cli.loft:loft_boat",
    ),
    Command(
        "fair",
        "fair the lines and tell what was moved and what is in doubt",
        "Read a boat's lines, fair and draw them. Tell every move, how each line curves, and every offset in doubt. "
        "It needs the table of offsets and, in boat.toml, lines_to and the profiles of both ends; no wood.",
        _fair,
        "patterns.cli.fair:fair_boat",
    ),
    Command(
        "nest",
        "lay the parts on your sheets of plywood",
        "Lay every plywood part on the sheets of [stock], prove it, and write each sheet for the router; or prove and "
        "write a placement file you have edited.",
        _nest,
        "patterns.cli.nest:nest_boat",
    ),
    Command(
        "printer",
        "find out by how much a printer is out, and correct later pages",
        "Make a test page with two long bars; or, with both bars measured, keep the printer's error for later pages.",
        _printer,
        "patterns.cli.printer:printer",
    ),
)
