"""The command as a builder runs it, with settings of its own, on a boat of few parts that is soon done."""

from __future__ import annotations

import io
import os
import re
import subprocess
import sys
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

import pytest

from patterns.cli.main import main

ROOT = Path(__file__).parents[2]
SALTMEADOW = ROOT / "samples" / "saltmeadow"


def scrieve(
    *words: str | Path, settings: Path | None = None, cwd: Path = ROOT, hash_seed: str = "random"
) -> subprocess.CompletedProcess[str]:
    home = {} if settings is None else {"XDG_CONFIG_HOME": str(settings)}
    return subprocess.run(
        [sys.executable, "-m", "patterns.cli.main", *map(str, words)],
        cwd=cwd,
        env={**os.environ, **home, "PYTHONHASHSEED": hash_seed, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
    )


def scrieve_here(*words: str | Path, settings: Path | None = None) -> subprocess.CompletedProcess[str]:
    """As `scrieve`, in this process, which has its libraries already: for claims that need no process to themselves."""
    out, err = io.StringIO(), io.StringIO()
    with pytest.MonkeyPatch.context() as patch, redirect_stdout(out), redirect_stderr(err):
        if settings is not None:
            patch.setenv("XDG_CONFIG_HOME", str(settings))
        code = main([*map(str, words)])
    return subprocess.CompletedProcess(words, code, out.getvalue(), err.getvalue())


def bare_boat(folder: Path, *tables: str) -> Path:
    """Saltmeadow's shell: panels, transom and stem of no stated wood, one frame, and of the rest only tables named."""
    folder.mkdir(exist_ok=True)
    text = (SALTMEADOW / "boat.toml").read_text(encoding="utf-8")
    ends, planking = text.index("[stem]"), text.index("[planking.side]")
    text = text[:ends] + re.sub(r"(?m)^material .*\n", "", text[ends:planking]) + text[planking:]
    frames, rest = text.index("[frames]"), text.index("[chine_log]")
    one_frame = text[frames:rest].replace('["1", "2", "3", "4", "5", "6"]', '["4"]').replace('"sawn"', '"mould"')
    asked = [re.search(rf"^\[+{table}\]+\n(?:(?!\[).*\n)*", text, re.MULTILINE) for table in tables]
    assert all(asked), tables
    printer = text[text.index("[printer]") :]
    more = "".join(f"{table[0]}\n" for table in asked if table)
    (folder / "boat.toml").write_text(text[:frames] + one_frame + more + printer, encoding="utf-8")
    (folder / "offsets.csv").write_bytes((SALTMEADOW / "offsets.csv").read_bytes())
    return folder
