"""Standard output and Ctrl-C as they come: streams closed, full, or without our letters; one stop, told in one line."""

from __future__ import annotations

import io
import os
import signal
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType


@contextmanager
def ready_streams() -> Iterator[None]:
    """Standard streams that take any word: closed ones take and forget them, letters they have not become ``?``."""
    kept = sys.stdout, sys.stderr
    # Python has None for a stream that was closed before it began.
    if sys.stdout is None:
        sys.stdout = _nowhere()
    if sys.stderr is None:
        sys.stderr = _nowhere()
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="replace")
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
