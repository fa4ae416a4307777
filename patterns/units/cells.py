"""Words in a cell of a table, kept from being read as a formula by a spreadsheet."""

from __future__ import annotations

import re

SHIELD = "'"  # before a word in a cell: every spreadsheet takes what follows it as text
_FORMULA = re.compile(r"[=+\-@\t\r]")
_NUMBER = re.compile(r"[+-]?[0-9]+(?:[.,][0-9]+)?")


def shielded(word: str) -> str:
    """A word the builder chose, as a cell that no spreadsheet calculates; numbers stay numbers.

    >>> shielded("=2+3"), shielded("-3.2"), shielded("frame 3")
    ("'=2+3", '-3.2', 'frame 3')
    """
    return f"{SHIELD}{word}" if _FORMULA.match(word) and not _NUMBER.fullmatch(word) else word


def unshielded(cell: str) -> str:
    """The word of a cell that `shielded` wrote.

    >>> unshielded("'=2+3"), unshielded("'quoted'")
    ('=2+3', "'quoted'")
    """
    return cell[1:] if cell.startswith(SHIELD) and _FORMULA.match(cell[1:]) else cell
