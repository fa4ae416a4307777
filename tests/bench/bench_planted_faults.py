"""Which wrong lines the tests see: python tests/bench/bench_planted_faults.py [WORD ...]

Faults of the kinds sign, face, hand, scale, word and kerf (`planted_faults.toml`) are planted one at a time in a copy
of the program, and only the tests of the layer it belongs to are run, the likeliest file first. A fault no test sees
is a test not written yet: it is told, and the exit is 1. With words, only faults whose module or kind has one of them.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import time
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

HOME = Path(__file__).parents[2]
COPIED = ("patterns", "tests", "samples", "shared", "pyproject.toml", "README.md", "DEVELOPERS.md")
TESTS = {
    "shop": ("shop", "plates/test_lines_plan.py", "cli/test_nest_command.py"),
    "parts": ("parts", "promises/test_ends.py", "promises/test_parts_laws.py", "promises/test_parts_hands.py"),
    "plates": (
        *("plates", "shop/test_shop_bench.py", "shop/test_shop_boards.py", "shop/test_as_built.py"),
        "promises/test_plates_hands.py",
    ),
    "tiling": ("tiling", "job/test_printer.py", "promises/test_virtual_paper.py"),
    "writing": ("writing", "shop/test_layout_tables.py", "promises/test_whole_command.py"),
}
"""By layer, the folders and files under tests/ that hold its tests, where they are not only the folder of its name."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One wrong line."""

    kind: str
    module: str  # under patterns/
    right: str
    wrong: str
    first: str = ""

    @property
    def name(self) -> str:
        return f"{self.kind:6} {self.module}: {' '.join(self.wrong.split())[:80]}"

    def tests(self, folder: Path) -> list[str]:
        """Files of its layer's tests, the likeliest first."""
        layer = self.module.partition("/")[0]
        places = [folder / place for place in TESTS.get(layer, (layer,))]
        files = {path for place in places for path in (place.glob("test_*.py") if place.is_dir() else [place])}
        found = sorted(str(path.relative_to(folder)) for path in files)
        return sorted(found, key=lambda name: (not name.endswith(f"/{self.first}"), name))


def main(words: Sequence[str]) -> int:
    text = Path(__file__).with_name("planted_faults.toml").read_text(encoding="utf-8")
    faults = [Fault(**fault) for fault in tomllib.loads(text)["fault"]]
    chosen = [one for one in faults if not words or any(word in (one.kind, one.module) for word in words)]
    with tempfile.TemporaryDirectory() as folder:
        copy = _copied(Path(folder))
        unseen = [fault for fault in chosen if not _seen(fault, copy)]
    print(f"{len(chosen) - len(unseen)} of {len(chosen)} faults seen by the tests of their own layer")
    return 1 if unseen else 0


def _copied(folder: Path) -> Path:
    for name in COPIED:
        if (HOME / name).is_dir():
            shutil.copytree(HOME / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy2(HOME / name, folder / name)
    return folder


def _seen(fault: Fault, copy: Path) -> bool:
    """Whether a test fails while the fault is in the copy."""
    module = copy / "patterns" / fault.module
    right = module.read_text(encoding="utf-8")
    if right.count(fault.right) != 1:
        print(f"NOT PLANTED  {fault.name}: its line stands {right.count(fault.right)} times in the module", flush=True)
        return False
    began = time.monotonic()
    module.write_text(right.replace(fault.right, fault.wrong), encoding="utf-8")
    try:
        failed = next((name for name in fault.tests(copy / "tests") if not _pass(name, copy)), None)
    finally:
        module.write_text(right, encoding="utf-8")
    told = f"seen by {failed}" if failed else "NOT SEEN"
    print(f"{told:38} {fault.name}   ({time.monotonic() - began:.0f} s)", flush=True)
    return failed is not None


def _pass(name: str, copy: Path) -> bool:
    run = subprocess.run(
        [sys.executable, "-m", "pytest", "-x", "-q", "-n", "0", "-p", "no:cacheprovider", f"tests/{name}"],
        cwd=copy,
        env=os.environ | {"PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1"},
        capture_output=True,
        check=False,
    )
    if run.returncode not in (0, 1):  # a test failed, or none did: else the tests themselves did not run
        told = run.stdout.decode(errors="replace")[-2000:] + run.stderr.decode(errors="replace")[-2000:]
        raise RuntimeError(f"{name}: {told}")
    return run.returncode == 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
