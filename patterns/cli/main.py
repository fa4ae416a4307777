"""The command ``scrieve``: reads its words, hands on the work, prints what went wrong."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Sequence
from importlib import import_module

from patterns.cli.commands import COMMANDS

DONE, BAD_INPUT = 0, 1  # bad usage is argparse's own 2


def main(words: Sequence[str] | None = None) -> int:
    """Run one command. Exit 0 done, 1 bad input, 2 bad usage."""
    arguments = vars(_parser().parse_args(words))
    work = str(arguments.pop("work"))
    # Imported here so that --help and usage errors do not wait for the geometry libraries.
    from patterns.errors import PatternsError

    # One short run that keeps nearly all it makes: looking for rubbish costs a tenth of it and finds none.
    gc.disable()
    try:
        module, _, function = work.partition(":")
        getattr(import_module(module), function)(**arguments)
        sys.stdout.flush()
    except BrokenPipeError:
        # Whoever read our words has gone, as head does; what is left of them must not fail again at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return BAD_INPUT
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
    for command in COMMANDS:
        own = commands.add_parser(command.name, help=command.help, description=command.about)
        command.options(own)
        own.set_defaults(work=command.work)
    return parser


if __name__ == "__main__":
    sys.exit(main())
