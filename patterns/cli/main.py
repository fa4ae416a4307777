"""The command ``scrieve``: reads its words, hands on the work, prints what went wrong."""

from __future__ import annotations

import argparse
import gc
import sys
from collections.abc import Sequence
from pathlib import Path

DONE, BAD_INPUT = 0, 1  # bad usage is argparse's own 2


def main(words: Sequence[str] | None = None) -> int:
    """Run one command. Exit 0 done, 1 bad input, 2 bad usage."""
    arguments = _parser().parse_args(words)
    # Imported here so that --help and usage errors do not wait for the geometry libraries.
    from patterns.errors import PatternsError

    # One short run that keeps nearly all it makes: looking for rubbish costs a tenth of it and finds none.
    gc.disable()
    try:
        from patterns.cli.loft import loft_boat

        loft_boat(arguments.boat, out=arguments.out, paper=arguments.paper)
    except PatternsError as error:
        print(f"scrieve: nothing was written.\n{error}", file=sys.stderr)
        return BAD_INPUT
    return DONE


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="scrieve",
        description="From a small wooden boat's table of offsets to full-size patterns, bevels and cut files.",
        epilog="The program gives shapes, not strength or stability. Check the printed bars before you cut.",
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    loft = commands.add_parser(
        "loft",
        help="fair the lines and make every pattern",
        description="Read a boat folder, fair its lines, lay the planking and write patterns for every part.",
    )
    loft.add_argument("boat", type=Path, metavar="BOAT", help="folder with boat.toml and the table of offsets")
    loft.add_argument("--out", type=Path, metavar="DIR", help="where the job goes (default: BOAT/out)")
    loft.add_argument("--paper", metavar="SIZE", help="paper for the tiles, such as letter, A4, A3 or tabloid")
    return parser


if __name__ == "__main__":
    sys.exit(main())
