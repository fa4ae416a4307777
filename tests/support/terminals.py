"""The command run in a real terminal of its own, as a builder sees it."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from commanded import ROOT

ESCAPES = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]")
PLAIN = {
    "PATH": os.environ["PATH"],
    "HOME": "/nonexistent",
    "TERM": "xterm",
    "LANG": "C.UTF-8",
    "PYTHONPATH": str(ROOT),
}
AT_ONCE = 0.05  # s between looks at what has come


@dataclass(frozen=True, slots=True)
class Shown:
    """What a terminal was given, and how the command ended."""

    raw: bytes
    errors: str  # standard error, where that went elsewhere
    code: int

    @property
    def text(self) -> str:
        return self.raw.decode("utf-8", "replace").replace("\r\n", "\n")

    @property
    def lines(self) -> list[str]:
        """What stands in the terminal at the end: of a line written over, what was written last."""
        plain = ESCAPES.sub("", self.text)
        return [_written_over(line) for line in plain.split("\n")]


def _written_over(line: str) -> str:
    """A row after each return to its beginning."""
    shown = ""
    for part in line.split("\r"):
        shown = part + shown[len(part) :]
    return shown.rstrip()


def in_terminal(
    *words: str | Path,
    settings: Mapping[str, str | None] | None = None,
    size: tuple[int, int] = (40, 80),
    typed: Sequence[str] = (),
    cwd: Path = ROOT,
    errors_apart: bool = False,
    act: Callable[[subprocess.Popen[bytes], bytes], None] | None = None,
) -> Shown:
    """Run scrieve in a terminal of so many rows and columns.

    Parameters
    ----------
    settings
        Environment besides the plain one; None takes one away.
    typed
        Lines typed, each once the command has asked for it (its output ends in ``: ``).
    act
        Called with the process and all that came so far, each time that something came.
    """
    environment = {key: value for key, value in {**PLAIN, **(settings or {})}.items() if value is not None}
    master, slave = pty.openpty()
    fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", *size, 0, 0))
    run = subprocess.Popen(
        [sys.executable, "-m", "patterns", *map(str, words)],
        stdin=slave,
        stdout=slave,
        stderr=subprocess.PIPE if errors_apart else slave,
        cwd=cwd,
        env=environment,
        preexec_fn=_own_terminal,
    )
    os.close(slave)
    raw, waiting = b"", list(typed)
    end = time.monotonic() + 120
    try:
        while time.monotonic() < end:
            if not select.select([master], [], [], AT_ONCE)[0]:
                if run.poll() is not None:
                    break
                continue
            try:
                data = os.read(master, 65536)
            except OSError:  # the last that held the other end has gone
                break
            if not data:
                break
            raw += data
            if waiting and raw.endswith(b": "):
                os.write(master, f"{waiting.pop(0)}\n".encode())
            if act:
                act(run, raw)
        code = run.wait(timeout=30)
    finally:
        run.kill()
        run.wait()
        os.close(master)
    errors = run.stderr.read().decode() if run.stderr else ""
    if run.stderr:
        run.stderr.close()
    return Shown(raw, errors, code)


def _own_terminal() -> None:
    """Make the terminal this process's own, so that Ctrl-C typed there comes to it."""
    os.setsid()
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)
