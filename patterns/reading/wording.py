"""How what was found is quoted back to the builder."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

LONGEST = 40  # characters of what was found; more of it helps nobody find it
FORMER = {
    "net line": "finished line",
    "key": "toothed",
    "key_clearance": "tooth_clearance",
    "notch_shy": "notch_allowance",
    "proud": "saw_allowance",
    "--proud": "--saw-allowance",
}
"""Keys and values under their present names, each by the name it had in earlier versions."""


def quoted(text: str) -> str:
    """A cell's text in quotes, its beginning where it is long; a blank one is nothing."""
    shown = printable(text) if len(text) <= LONGEST else f"{printable(text[:LONGEST].rstrip())} ..."
    return f"'{shown}'" if text else "nothing"


def printable(text: str) -> str:
    """A text whose characters that do not show, or that move a terminal's cursor, are written as TOML writes them."""
    if text.isprintable():
        return text
    return "".join(letter if letter.isprintable() else _escape(ord(letter)) for letter in text)


def _escape(code: int) -> str:
    return f"\\u{code:04X}" if code < 0x10000 else f"\\U{code:08X}"


def one_of(choices: Iterable[str], written: str = "") -> str:
    """``one of 'a', 'b'``, and the one ``written`` comes near to."""
    names = tuple(choices)
    listed = ", ".join(f"'{name}'" for name in names)
    return f"{'one of ' if len(names) > 1 else ''}{listed}{did_you_mean(written, names)}"


def did_you_mean(written: str, names: Iterable[str]) -> str:
    """``; did you mean 'sided'?`` where ``written`` comes near to a name or is its former one, else nothing."""
    names, written = tuple(names), written.lower()
    now = FORMER.get(written)
    near = [now] if now in names else get_close_matches(written, names, n=1, cutoff=0.6)
    return f"; did you mean '{near[0]}'?" if near else ""


def unreadable(fault: OSError) -> str:
    """Why the system would not read a file."""
    if isinstance(fault, IsADirectoryError):
        return "a directory"
    return (fault.strerror or str(fault)).lower()
