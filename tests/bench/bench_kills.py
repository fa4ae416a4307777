"""Runs killed at every step of writing, and whole commands killed at random instants. A plain script:

    python tests/bench/bench_kills.py [--steps MOST] [--commands COUNT] [--seed SEED]

First a folder that holds an old job and files of the builder's own is written anew by a process that kills itself at
one step: a line of the folder's code, or a dealing with files that Python reports. Every step has its turn (or MOST of
them, spread evenly). Then `scrieve loft` is killed at random instants, by SIGKILL and SIGTERM in turn. After each kill:
the folder holds the old job whole or the new one whole; the builder's files are the very same files, unchanged; no
process is left; nobody holds the caller's pipe; the next run succeeds and leaves nothing beside the folder.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

HOME = Path(__file__).parents[2]
sys.path[:0] = [str(HOME), str(HOME / "tests" / "support")]

from commanded import bare_boat  # noqa: E402
from killed import everything_in, killed_at, steps_of  # noqa: E402

from patterns.writing.folder import folder_swap  # noqa: E402
from patterns.writing.folder.folder_list import LIST  # noqa: E402
from patterns.writing.folder.job_folder import write_folder  # noqa: E402

OLD = {"book.html": "old", "svg/side.svg": b"old side", "svg/tiles/side-A1.svg": "old tile", "paper/roll.pdf": b"%PDF"}
NEW = {"book.html": "new", "svg/side.svg": b"new side", "router/frame-3.dxf": "new frame", "job.json": "{}"}
MARK = "SCRIEVE_BENCH_KILLS"
AT_ONCE = 2.0  # s; until then every process of a killed command must be gone


def main() -> int:
    """Kill and look; exit 1 if anything was lost or left."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--steps", type=int, default=sys.maxsize)
    parser.add_argument("--commands", type=int, default=200)
    parser.add_argument("--seed", type=int, default=random.randrange(10**6))
    asked = parser.parse_args()
    failed = 0
    with tempfile.TemporaryDirectory() as home:
        place = Path(home)
        failed += _at_every_step("one exchange", place / "one", asked.steps)
        folder_swap._exchanged = lambda one, other: False  # type: ignore[assignment]
        failed += _at_every_step("two renames", place / "two", asked.steps)
        failed += _commands(place / "boat", asked.commands, random.Random(asked.seed))
    print(f"seed {asked.seed}: {failed or 'nothing'} lost or left")
    return 1 if failed else 0


def _at_every_step(name: str, place: Path, most: int) -> int:
    """Kill the writing of a folder at each step; how often anything was wrong."""
    out = place / "job of é"
    own = _builders_own(out)
    write_folder(out, OLD)
    before, after = (_files(job) | own for job in (OLD, NEW))
    numbers = _numbers(out, own)
    assert _held(out) == before
    steps = steps_of(lambda: write_folder(out, NEW))
    assert _held(out) == after
    write_folder(out, OLD)
    found: Counter[str] = Counter()
    faults: list[str] = []
    for step in range(0, steps, 1 + steps // most):
        found["kills"] += killed_at(step, lambda: write_folder(out, NEW))
        aside = out.with_name(f".{out.name}.scrieve-old")
        held = _held(out if out.exists() else aside)
        found["old" if held == before else "new" if held == after else "MIXED"] += 1
        found["of them set aside"] += not out.exists()
        found["with something beside"] += len(list(place.iterdir())) > 1
        faults += [f"step {step}: neither old nor new whole"] if held not in (before, after) else []
        write_folder(out, OLD)
        faults += [f"step {step}: next run is not clean"] if _held(out) != before else []
        faults += [f"step {step}: left beside"] if [path.name for path in place.iterdir()] != [out.name] else []
        faults += [f"step {step}: the builder's files are others"] if _numbers(out, own) != numbers else []
    told = ", ".join(f"{count} {kind}" for kind, count in found.items())
    print(f"{name:14} {steps} steps: {told}; {len(faults)} faults", *faults[:5], sep="\n    ", flush=True)
    return len(faults)


def _builders_own(out: Path) -> dict[str, object]:
    out.mkdir(parents=True)
    write_folder(out, {"svg/remarks.svg": "made, then changed"})
    (out / "svg" / "remarks.svg").write_text("remarks of mine")
    (out / "photos" / "bow").mkdir(parents=True)
    (out / "photos" / "bow" / "1.jpg").write_bytes(bytes(3000))
    (out / "notes é.txt").write_text("mine")
    (out / "plan").symlink_to("photos")
    return _held(out)


def _held(out: Path) -> dict[str, object]:
    return {name: held for name, held in everything_in(out).items() if name != LIST and held is not None}


def _files(job: dict[str, Any]) -> dict[str, object]:
    return {name: content.encode() if isinstance(content, str) else content for name, content in job.items()}


def _numbers(out: Path, own: dict[str, object]) -> dict[str, int]:
    """By which the system knows the builder's files; links are made afresh."""
    return {name: (out / name).lstat().st_ino for name in own if not (out / name).is_symlink()}


def _commands(boat: Path, count: int, chance: random.Random) -> int:
    """Kill whole commands; how often anything was wrong."""
    bare_boat(boat)
    out, notes = boat / "out", boat / "out" / "svg" / "notes.txt"
    environment = os.environ | {"PYTHONPATH": str(HOME), "XDG_CONFIG_HOME": str(boat), MARK: str(os.getpid())}
    jobs = []
    for date in ("old", "new"):
        words = [sys.executable, "-m", "patterns.cli.main", "loft", str(boat), "--date", date]
        began = time.monotonic()
        subprocess.run(words, env=environment, stdout=subprocess.DEVNULL, check=True)
        takes = time.monotonic() - began
        notes.write_text("mine")
        jobs.append(_held(out))
    found: Counter[str] = Counter()
    faults: list[str] = []
    number = -1
    while found["killed"] < count:
        number += 1
        date = ("old", "new")[number % 2]
        words = [sys.executable, "-m", "patterns.cli.main", "loft", str(boat), "--date", date]
        by = (signal.SIGKILL, signal.SIGTERM)[number // 2 % 2]
        with subprocess.Popen(words, env=environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT) as run:
            began = time.monotonic()
            with suppress(subprocess.TimeoutExpired):
                run.wait(chance.uniform(0.02, takes))
                takes = time.monotonic() - began  # the machine was busy when it was measured
            found["with processes begun by it"] += len(list(_processes())) > 1
            run.send_signal(by)
            run.wait()
            found["killed" if run.returncode == -by else "done before"] += 1
            faults += [f"{number}: a process is left"] if not _within(AT_ONCE, lambda: not list(_processes())) else []
            for process in _processes():
                os.kill(process, signal.SIGKILL)
            assert run.stdout is not None
            run.stdout.read()
        held = _held(out)
        found["old" if held == jobs[0] else "new" if held == jobs[1] else "MIXED"] += 1
        found["with something beside"] += _beside(boat) != []
        faults += [f"{number}: neither old nor new whole"] if held not in jobs else []
    subprocess.run(words, env=environment, stdout=subprocess.DEVNULL, check=True)
    faults += ["the next run is not clean"] if _beside(boat) or _held(out) not in jobs else []
    told = ", ".join(f"{times} {kind}" for kind, times in found.items())
    print(
        f"commands       {number + 1} of {takes:.1f} s: {told}; {len(faults)} faults",
        *faults[:5],
        sep="\n    ",
        flush=True,
    )
    shutil.rmtree(boat)
    return len(faults)


def _beside(boat: Path) -> list[str]:
    return sorted(path.name for path in boat.iterdir() if path.name not in ("boat.toml", "offsets.csv", "out"))


def _processes() -> Iterator[int]:
    """Those of the command that still run, known by what they were begun with."""
    mark = f"{MARK}={os.getpid()}".encode()
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            if mark in (folder / "environ").read_bytes() and "Z" not in (folder / "stat").read_text().split()[2:3]:
                yield int(folder.name)
        except OSError:
            continue


def _within(seconds: float, held: Callable[[], bool]) -> bool:
    late = time.monotonic() + seconds
    while not held() and time.monotonic() < late:
        time.sleep(0.01)
    return held()


if __name__ == "__main__":
    sys.exit(main())
