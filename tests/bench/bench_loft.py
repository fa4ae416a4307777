"""How long Saltmeadow takes, and how much memory. A plain script: python tests/bench/bench_loft.py

Aims: all geometry in 120 ms warm; the whole command within 3 times the bare import of the libraries it
uses, measured side by side; memory peak under 200 MB; ``scrieve --help`` under 3 times the bare interpreter with
argparse. Runs are interleaved, so that a busy machine slows both sides of a ratio alike.
"""

from __future__ import annotations

import io
import os
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import redirect_stdout
from pathlib import Path
from types import ModuleType

HOME = Path(__file__).parents[2]
sys.path[:0] = [str(HOME), str(HOME / "tests" / "support")]
# As an installed program runs: its modules compiled once, kept away from the sources.
COMPILED = tempfile.TemporaryDirectory()
ENVIRONMENT = os.environ | {"PYTHONPATH": str(HOME), "PYTHONPYCACHEPREFIX": COMPILED.name}
ENVIRONMENT.pop("PYTHONDONTWRITEBYTECODE", None)
SCRIEVE = [sys.executable, "-m", "patterns.cli.main"]
ROUNDS = 20
COMMAND_ROUNDS = 7
MEGABYTE = 1024  # ru_maxrss counts kB on Linux


def main() -> int:
    """Measure and print; exit 1 if an aim is missed."""
    met = [_geometry(), _help()]
    if (HOME / "patterns" / "cli" / "loft.py").exists():
        met.append(_whole_command())
        met.append(_memory())
        _stages()
    else:
        print("scrieve loft       not there yet: not measured")
    return 0 if all(met) else 1


def _geometry() -> bool:
    from boats import saltmeadow

    from patterns.parts.whole import loft

    boat = saltmeadow()
    loft(boat)  # warms caches
    times = []
    for _ in range(ROUNDS):
        began = time.perf_counter()
        loft(boat)
        times.append(time.perf_counter() - began)
    least, middle = min(times) * 1e3, statistics.median(times) * 1e3
    return _say("geometry, warm", f"min {least:.1f} ms, median {middle:.1f} ms of {ROUNDS}", least, 120.0, "ms")


def _help() -> bool:
    bare = [sys.executable, "-c", "import argparse"]
    own, against = _side_by_side([*SCRIEVE, "--help"], bare, ROUNDS)
    return _say("scrieve --help", f"{own * 1e3:.0f} ms against {against * 1e3:.0f} ms", own / against, 3.0, "times")


def _whole_command() -> bool:
    libraries = _libraries()
    with tempfile.TemporaryDirectory() as out:
        own, against = _side_by_side(
            _loft_into(out), [sys.executable, "-c", "import " + ", ".join(libraries)], COMMAND_ROUNDS
        )
    words = f"{own * 1e3:.0f} ms against {against * 1e3:.0f} ms for import {', '.join(libraries)}"
    return _say("scrieve loft", words, own / against, 3.0, "times")


def _memory() -> bool:
    with tempfile.TemporaryDirectory() as out:
        _run(_loft_into(out))
    # The largest of all children so far; the whole command is by far the largest.
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / MEGABYTE
    return _say("memory", f"peak {peak:.0f} MB", peak, 200.0, "MB")


def _stages() -> None:
    """CPU of each stage in one cold run: on a busy machine it hardly moves, where the clock on the wall does."""
    from patterns.cli import loft, main
    from patterns.job import boat_job, processes
    from patterns.job.shared.drafting import Drafting
    from patterns.writing.folder.job_folder import JobFolder
    from patterns.writing.ink import dxf, pdf, svg
    from patterns.writing.job_json import job_text

    stages: list[tuple[ModuleType | type, str, str]] = [
        (loft, "read_boat", "reading"),
        (boat_job, "loft", "fairing to parts"),
        (boat_job, "contours_of", "router contours"),
        (Drafting, "all_drawn", "plates"),
        (svg, "svg_text", "SVG"),
        (dxf, "write_dxf", "DXF"),
        (boat_job, "fill_sheets", "nesting"),
        (boat_job, "shared", "small patterns"),
        (boat_job, "tile", "tiles"),
        (boat_job, "rolled", "roll"),
        (pdf, "pdf_bytes", "PDF"),
        (job_text, "job_text", "job.json"),
        (JobFolder, "write", "folder"),
    ]
    processes.MOST_PROCESSES = 1  # CPU of other processes would not be seen
    took = {name: 0.0 for _, _, name in stages}
    for owner, function, name in stages:
        setattr(owner, function, _timed(getattr(owner, function), took, name))
    with tempfile.TemporaryDirectory() as out, redirect_stdout(io.StringIO()):
        began = time.process_time()
        main.main(["loft", str(HOME / "samples" / "saltmeadow"), "--out", str(Path(out) / "job")])
        whole = time.process_time() - began
    print("CPU by stage, libraries loaded before:")
    for name, seconds in (took | {"the rest": whole - sum(took.values()), "whole": whole}).items():
        print(f"    {name:18} {seconds * 1e3:6.0f} ms")


def _timed(work: Callable[..., object], took: dict[str, float], name: str) -> Callable[..., object]:
    def timed(*values: object, **named: object) -> object:
        began = time.process_time()
        try:
            return work(*values, **named)
        finally:
            took[name] += time.process_time() - began

    return timed


def _libraries() -> list[str]:
    """The third-party modules the command itself imports, as its own sources name them."""
    names = set()
    for source in (HOME / "patterns").rglob("*.py"):
        for line in source.read_text(encoding="utf-8").splitlines():
            words = line.split()
            if len(words) > 1 and words[0] in ("import", "from"):
                root = words[1].split(".")[0].rstrip(",")
                if root in {"numpy", "scipy", "shapely", "ezdxf", "svgwrite", "reportlab", "pydantic", "fontTools"}:
                    names.add(words[1].rstrip(","))
    return sorted(names)


def _loft_into(out: str) -> list[str]:
    folder = Path(out) / "job"
    shutil.rmtree(folder, ignore_errors=True)
    return [*SCRIEVE, "loft", str(HOME / "samples" / "saltmeadow"), "--out", str(folder)]


def _side_by_side(command: list[str], other: list[str], rounds: int) -> tuple[float, float]:
    """Least seconds of each, run turn about; the first run of each is thrown away."""
    times: tuple[list[float], list[float]] = ([], [])
    for turn in range(rounds + 1):
        for words, kept in zip((command, other), times, strict=True):
            took = _run(words)
            if turn:
                kept.append(took)
    return min(times[0]), min(times[1])


def _run(words: list[str]) -> float:
    began = time.perf_counter()
    done = subprocess.run(words, env=ENVIRONMENT, cwd=HOME, capture_output=True, text=True, check=False)
    took = time.perf_counter() - began
    if done.returncode != 0:
        raise SystemExit(f"{' '.join(words)} failed:\n{done.stderr}")
    return took


def _say(what: str, words: str, figure: float, aim: float, unit: str) -> bool:
    met = figure <= aim
    print(f"{what:18} {words}; {figure:.2f} {unit}, aim {aim:g} {unit}: {'met' if met else 'MISSED'}")
    return met


if __name__ == "__main__":
    sys.exit(main())
