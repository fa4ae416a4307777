"""How the command line is read: whole words only, the nearest one named where one is unknown, help with examples."""

from __future__ import annotations

import sys
from argparse import Action, ArgumentError, ArgumentParser, HelpFormatter, Namespace
from collections.abc import Sequence
from difflib import get_close_matches
from typing import Any, NoReturn

BAD_USAGE = 2  # the exit code of argparse


class Parser(ArgumentParser):
    """A parser of one command, or of the whole program."""

    def __init__(self, **settings: Any) -> None:
        super().__init__(**{"allow_abbrev": False, "formatter_class": _Help, **settings})

    def parse_known_args(  # type: ignore[override]
        self, args: Sequence[str] | None = None, namespace: Namespace | None = None
    ) -> tuple[Namespace, list[str]]:
        """As argparse, but words that are left over are refused by the command they were given to."""
        known, over = super().parse_known_args(args, namespace)
        if over:
            self.error(self._left_over(over[0]))
        return known, over

    def _left_over(self, word: str) -> str:
        if not word.startswith("-"):
            return f"found '{word}', expected nothing more"
        option = word.partition("=")[0]
        options = [name for action in self._actions for name in action.option_strings]
        return f"unknown option '{option}'{nearest(option, options)}"

    def _check_value(self, action: Action, value: Any) -> None:
        if action.choices is None or value in action.choices:
            return
        words = [str(word) for word in action.choices]
        if action.metavar == COMMAND:
            raise ArgumentError(None, f"unknown command '{value}'{nearest(str(value), words) or _one_of(words)}")
        raise ArgumentError(action, f"found '{value}', expected {', '.join(words)}{nearest(str(value), words)}")

    def error(self, message: str) -> NoReturn:
        """Two lines: what was wrong, and where help is."""
        print(f"{self.prog}: {message.removeprefix('argument ')}\nSee: {self.prog} --help", file=sys.stderr)
        sys.exit(BAD_USAGE)


COMMAND = "COMMAND"


def nearest(word: str, words: Sequence[str]) -> str:
    """``; did you mean '--paper'?`` where one of the words is near, else nothing."""
    near = get_close_matches(word, words, n=1, cutoff=0.5)
    return f"; did you mean '{near[0]}'?" if near else ""


def _one_of(words: Sequence[str]) -> str:
    return f", expected one of {', '.join(words)}"


class _Help(HelpFormatter):
    """Help whose examples keep their lines."""

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        blocks = text.split("\n\n")
        filled = (
            block if block.startswith(EXAMPLES) else super(_Help, self)._fill_text(block, width, indent)
            for block in blocks
        )
        return "\n\n".join(filled)


EXAMPLES = "Examples:"


def examples(*lines: str) -> str:
    """An epilog of commands as a builder types them."""
    return "\n".join((EXAMPLES, *(f"    {line}" for line in lines)))
