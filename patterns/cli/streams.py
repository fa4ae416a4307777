"""Standard output and Ctrl-C as they come: streams closed, full, or without our letters; one stop, told in one line."""

from __future__ import annotations

import codecs
import io
import os
import signal
import sys
import threading
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

PLAIN = "scrieve-plain"  # how letters are written that a stream does not have
_PLAIN = {"°": " deg", "×": "x", "–": "-", "—": "-", "−": "-", "±": "+-", "…": "...", "→": "->", "•": "-"}
_PLAIN |= dict.fromkeys("“”″", '"') | dict.fromkeys("‘’′", "'") | {"²": "2", "³": "3", "⅛": "1/8"}


def _in_plain_letters(error: UnicodeError) -> tuple[str, int]:
    """Signs of the trade and accented letters in ASCII; ``?`` for what has no such form."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    written = error.object[error.start : error.end]
    return "".join(map(_in_plain, written)), error.end


def _in_plain(letter: str) -> str:
    if letter in _PLAIN:
        return _PLAIN[letter]
    bare = unicodedata.normalize("NFKD", letter).encode("ascii", "ignore").decode()
    return bare or "?"


def _speaks_ascii() -> bool:
    """Whether the settings say that the terminal shows ASCII alone. Python writes UTF-8 to it unless told otherwise.

    LC_CTYPE and LANG do not count: where they are C, Python itself sets LC_CTYPE to C.UTF-8, as a builder may too.
    """
    told = any(os.environ.get(name) for name in ("PYTHONIOENCODING", "PYTHONUTF8"))
    return os.environ.get("LC_ALL") in ("C", "POSIX") and not told


@contextmanager
def ready_streams() -> Iterator[None]:
    """Standard streams that take any word: closed ones take and forget them, letters they have not are made plain."""
    kept = sys.stdout, sys.stderr
    # Python has None for a stream that was closed before it began.
    if sys.stdout is None:
        sys.stdout = _nowhere()
    if sys.stderr is None:
        sys.stderr = _nowhere()
    codecs.register_error(PLAIN, _in_plain_letters)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            plain = _speaks_ascii() and not stream.encoding.lower().startswith(("ascii", "us-ascii"))
            stream.reconfigure(errors=PLAIN, encoding="ascii" if plain else None)
    try:
        yield
    finally:
        sys.stdout, sys.stderr = kept


def _nowhere() -> io.TextIOWrapper:
    return open(os.devnull, "w", encoding="utf-8")


def drop_words_nobody_takes() -> bool:
    """Whether standard output takes no words; those left over then go nowhere, so that the exit cannot fail."""
    try:
        print(flush=True)  # unbuffered, nothing is left to be written again
    except OSError:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)
        return True
    return False


@contextmanager
def stopped_once() -> Iterator[None]:
    """The first Ctrl-C stops the work; later ones cannot stop what is then cleared away."""
    ours = threading.current_thread() is threading.main_thread()
    if not ours or signal.getsignal(signal.SIGINT) is not signal.default_int_handler:
        yield
        return
    signal.signal(signal.SIGINT, _stop)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, signal.default_int_handler)


def _stop(number: int, frame: FrameType | None) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    raise KeyboardInterrupt
