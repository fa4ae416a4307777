"""The command ``scrieve``: reads its words, hands on the work, prints what went wrong."""

from __future__ import annotations

import gc
import sys
from collections.abc import Sequence
from importlib import import_module

from patterns import __version__
from patterns.cli.commands import COMMANDS
from patterns.cli.parsers import COMMAND, Parser, examples
from patterns.cli.streams import drop_words_nobody_takes, ready_streams, stopped_once

DONE, BAD_INPUT, STOPPED = 0, 1, 130  # bad usage is argparse's own 2; 130 is what shells say of Ctrl-C


def main(words: Sequence[str] | None = None) -> int:
    """Run one command. Exit 0 done, 1 bad input, 2 bad usage, 130 stopped by Ctrl-C."""
    with ready_streams():
        try:
            with stopped_once():
                return _run(sys.argv[1:] if words is None else words)
        except KeyboardInterrupt:
            print("\nscrieve: stopped by Ctrl-C. No file is half written.", file=sys.stderr)
            return STOPPED
        except OSError as error:
            # Folders and files have words of their own for what the system says no to.
            if not drop_words_nobody_takes():
                raise
            # Whoever read our words and has gone, as head does, needs no word more.
            if not isinstance(error, BrokenPipeError):
                print(f"scrieve: {_not_taken(error)}", file=sys.stderr)
            return BAD_INPUT


def _not_taken(error: OSError) -> str:
    return (
        f"its words cannot be written to standard output ({error.strerror}). Send them to a file on a disk with "
        "room, or to the terminal."
    )


def _run(words: Sequence[str]) -> int:
    parser = whole_parser()
    if not words:
        parser.print_help()
        sys.stdout.flush()
        return DONE
    try:
        arguments = vars(parser.parse_args(words))
        if "work" not in arguments:  # argparse would name the missing command, not the unknown option before it
            parser.error(f"expected a command, one of {', '.join(command.name for command in COMMANDS)}")
    except SystemExit:
        sys.stdout.flush()  # help that cannot be written fails here and not at exit
        raise
    work = str(arguments.pop("work"))
    # Imported here so that --help and usage errors do not wait for the geometry libraries.
    from patterns.errors import PatternsError

    # One short run that keeps nearly all it makes: looking for rubbish costs a tenth of it and finds none.
    gc.disable()
    try:
        module, _, function = work.partition(":")
        getattr(import_module(module), function)(**arguments)
        sys.stdout.flush()
    except PatternsError as error:
        print(f"scrieve: nothing was written.\n{error}", file=sys.stderr)
        return BAD_INPUT
    return DONE


def whole_parser() -> Parser:
    """The parser of the program, with one for each command."""
    parser = Parser(
        prog="scrieve",
        description="From a small wooden boat's table of offsets to full-size patterns, bevels and cut files.",
        epilog=f"{examples('scrieve new my-skiff', 'scrieve fair my-skiff', 'scrieve loft my-skiff')}\n\n"
        "The program gives shapes, not strength or stability. Check the printed bars before you cut.",
    )
    parser.add_argument("--version", action="version", version=f"scrieve {__version__}", help="say which version it is")
    commands = parser.add_subparsers(metavar=COMMAND, title="commands")
    for command in COMMANDS:
        own = commands.add_parser(
            command.name, help=command.help, description=command.about, epilog=examples(*command.examples)
        )
        command.options(own)
        own.set_defaults(work=command.work)
    return parser


if __name__ == "__main__":
    sys.exit(main())
