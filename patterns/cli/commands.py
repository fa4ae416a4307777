"""Every command of ``scrieve``: its words, its options, and where the work is done. To add one, add a line here."""

from __future__ import annotations

from argparse import ArgumentParser, ArgumentTypeError
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

# Named here and not imported, so that --help waits for nothing; a test holds them to what new boats are made of.
HULLS = ("flat", "v", "multi-chine", "dory", "lapped", "pram", "round", "double-ended")
UNITS = ("in", "ft", "mm", "cm", "m")
SHELLS = ("bash", "zsh", "fish")
MOST_STATIONS = 60


class Command(NamedTuple):
    name: str
    help: str  # beside its name in ``scrieve --help``
    about: str  # in its own ``--help``
    examples: tuple[str, ...]  # as a builder types them
    options: Callable[[ArgumentParser], None]
    work: str  # "module:function"; imported when the command runs. Options arrive by the names they are stored under.


def _loft(parser: ArgumentParser) -> None:
    _boat(parser)
    _out(parser, "where the job goes (default: BOAT/out)")
    which = parser.add_argument_group("which patterns are printed")
    which.add_argument(
        "--only", action="append", default=[], metavar="NAME",
        help="pages of these patterns alone: frames, 'frame 3', 'transom, stem' ...; may be repeated",
    )  # fmt: skip
    which.add_argument(
        "--all", dest="all_pages", action="store_true", help="pages of panels, long pieces and boards too"
    )
    which.add_argument("--timbers", action="store_true", help="print each timber of a sawn frame by itself too")
    which.add_argument("--half", action="store_true", help="of patterns alike on both sides one half, to turn over")
    paper = parser.add_argument_group("paper")
    paper.add_argument("--paper", metavar="SIZE", help="paper of the pages: letter, A4, tabloid, '13x19 in' ...")
    paper.add_argument("--printer", metavar="NAME", help="correct the pages for this measured printer, or 'none'")
    paper.add_argument("--one-page", action="store_true", help="the roll in one page, however long")
    paper.add_argument("--sticks", action="store_true", help="story sticks on pages too, not on the roll alone")
    paper.add_argument("--svg-tiles", action="store_true", help="every page as an SVG file too")
    paper.add_argument("--scale", metavar="1:N", help="a model too, to be cut from card, such as 1:8")
    drawn = parser.add_argument_group("what is drawn")
    drawn.add_argument("--date", default="", help="printed on every pattern (default: a blank line to write it on)")
    drawn.add_argument(
        "--saw-allowance", metavar="LENGTH", help="draw a saw line this far outside the finished line, as 1.5mm"
    )
    drawn.add_argument("--no-notes", dest="notes", action="store_false", help="no bevels, names or explanations")
    drawn.add_argument("--no-grid", dest="grid", action="store_false", help="no datum lines, no figures by crosses")
    drawn.add_argument("--no-pricks", dest="pricks", action="store_false", help="no prick points")
    _telling(parser)


def _fair(parser: ArgumentParser) -> None:
    _boat(parser)
    _out(parser, "where drawings and the faired table go (default: BOAT/lines)")
    parser.add_argument(
        "--ease-twist", action="store_true", help="find the least movement of the lines that lets the side develop"
    )
    _telling(parser)


def _nest(parser: ArgumentParser) -> None:
    _boat(parser)
    _out(parser, "where the sheets go (default: BOAT/sheets)")
    parser.add_argument("--effort", choices=("quick", "hard"), default="quick", help="hard: a minute for fewer sheets")
    parser.add_argument("--placements", type=Path, metavar="FILE", help="check and write sheets as this file has them")
    _telling(parser)


def _stock(parser: ArgumentParser) -> None:
    _boat(parser)
    _out(parser, "where the list goes (default: BOAT/stock)")
    _telling(parser)


def _printer(parser: ArgumentParser) -> None:
    parser.add_argument("--name", help="the printer's name, one of your own (default: the printer used for every job)")
    parser.add_argument("--paper", metavar="SIZE", help="the paper in its tray (default: letter)")
    parser.add_argument("--out", type=Path, metavar="FILE", help="the test page (default: printer-test-PAPER.pdf)")
    bars = parser.add_argument_group("what you measured on the test page")
    bars.add_argument("--measured-across", metavar="LENGTH", help="the bar along the paper's short side, as 199.2mm")
    bars.add_argument("--measured-down", metavar="LENGTH", help="the bar along its long side, as 249.5mm")


def _new(parser: ArgumentParser) -> None:
    parser.add_argument("folder", type=Path, metavar="DIR", help="where the boat goes; nothing there is overwritten")
    plan = parser.add_argument_group("what the plan says")
    plan.add_argument("--hull", choices=HULLS, help="the kind of hull (default: flat)")
    plan.add_argument("--units", choices=UNITS, help="what a bare number of the plan means (default: in)")
    plan.add_argument("--stations", type=_stations, metavar="N", help="how many stand between the ends (default: 6)")
    plan.add_argument(
        "--spacing",
        metavar="LENGTH",
        help="between stations, and from FP to the first, as 2-0-0; left out, a ? for each",
    )
    plan.add_argument(
        "--lines-to", choices=("outside", "inside"), help="the face of the planking that the plan's lines give"
    )
    plan.add_argument(
        "--heights-from", metavar="DATUM", help="base (the default), base-above=LENGTH or water-line=LENGTH"
    )
    parser.add_argument("--full", action="store_true", help="write every table and key with its meaning")


def _completion(parser: ArgumentParser) -> None:
    parser.add_argument("shell", choices=SHELLS, metavar="SHELL", help="bash, zsh or fish")


def _stations(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= MOST_STATIONS:
        raise ArgumentTypeError(f"found {text!r}, expected a whole number from 1 to {MOST_STATIONS}")
    return int(text)


def _boat(parser: ArgumentParser) -> None:
    parser.add_argument("boat", type=Path, metavar="BOAT", help="folder with boat.toml and the table of offsets")


def _out(parser: ArgumentParser, words: str) -> None:
    parser.add_argument("--out", type=Path, metavar="DIR", help=words)


def _telling(parser: ArgumentParser) -> None:
    """What a command says in the terminal."""
    said = parser.add_argument_group("in the terminal").add_mutually_exclusive_group()
    said.add_argument("--quiet", action="store_true", help="say nothing but warnings and what went wrong")
    said.add_argument("--verbose", action="store_true", help="say every detail")


COMMANDS = (
    Command(
        "new",
        "start a boat folder to fill in",
        "Write boat.toml and a table of offsets for a kind of hull, with a ? for each figure that the lines need. On a "
        "terminal it asks for what no option says.",
        ("scrieve new my-skiff", "scrieve new my-skiff --hull v --units mm --stations 5 --lines-to outside"),
        _new,
        "patterns.cli.new:start_boat",
    ),
    Command(
        "fair",
        "look at the lines: fair and draw them, name figures in doubt",
        "Read a boat's lines, fair and draw them, and name every figure in doubt. It needs the table and, of "
        "boat.toml, the profiles of both ends and lines_to. It needs no wood.",
        ("scrieve fair my-skiff", "scrieve fair my-skiff --verbose"),
        _fair,
        "patterns.cli.fair:fair_boat",
    ),
    Command(
        "loft",
        "make every pattern, saw set-up, router file and the job book",
        "Read a boat folder, fair its lines, lay the planking and write patterns for every part.",
        ("scrieve loft my-skiff", "scrieve loft my-skiff --only frame --only transom --paper A4"),
        _loft,
        "patterns.cli.loft:loft_boat",
    ),
    Command(
        "nest",
        "lay the parts on your sheets of plywood",
        "Lay every plywood part on the sheets of [stock], check it, and write each sheet for the router; or check and "
        "write a placement file you have edited.",
        ("scrieve nest my-skiff --effort hard", "scrieve nest my-skiff --placements my-skiff/sheets/placements.toml"),
        _nest,
        "patterns.cli.nest:nest_boat",
    ),
    Command(
        "stock",
        "list the boards and sheets to buy",
        "Cut every blank of the boat out of whole boards that your yard has, as [stock] yard lists them. Write what to "
        "buy, with a layout of every board.",
        ("scrieve stock my-skiff", "scrieve stock my-skiff --out what-to-buy"),
        _stock,
        "patterns.cli.stock:list_stock",
    ),
    Command(
        "printer",
        "find out by how much a printer is out, and correct later pages",
        "Make a test page with two long bars; or, with both bars measured, keep the printer's error for later pages.",
        ("scrieve printer --paper A4", "scrieve printer --measured-across 199.2mm --measured-down 249.5mm"),
        _printer,
        "patterns.cli.printer:printer",
    ),
    Command(
        "completion",
        "have your shell complete commands and options",
        "Write a script that has a shell complete commands, options and their words. Keep it where your shell reads "
        "such scripts.",
        (
            "scrieve completion bash > ~/.local/share/bash-completion/completions/scrieve",
            "scrieve completion zsh > ~/.zfunc/_scrieve",
            "scrieve completion fish > ~/.config/fish/completions/scrieve.fish",
        ),
        _completion,
        "patterns.cli.completion:write_completion",
    ),
)
