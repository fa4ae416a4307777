"""The command as a builder runs it, with settings of its own, on a boat of few parts that is soon done."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

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


def bare_boat(folder: Path) -> Path:
    """Saltmeadow's shell: panels, transom and stem, one frame, nothing else."""
    folder.mkdir()
    text = (SALTMEADOW / "boat.toml").read_text(encoding="utf-8")
    frames, rest = text.index("[frames]"), text.index("[chine_log]")
    one_frame = text[frames:rest].replace('["1", "2", "3", "4", "5", "6"]', '["4"]').replace('"sawn"', '"mould"')
    printer = text[text.index("[printer]") :]
    (folder / "boat.toml").write_text(text[:frames] + one_frame + printer, encoding="utf-8")
    (folder / "offsets.csv").write_bytes((SALTMEADOW / "offsets.csv").read_bytes())
    return folder
