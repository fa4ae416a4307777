"""Two versions of the program held against each other: the same boats lofted by both, every file compared.

    python tests/bench/compare_jobs.py OLD NEW [SEED [VARIANTS]]

OLD and NEW are the Pythons of two environments, each with a version installed. The boats are the samples and as many
random variants of them (10 where not said), changed as builders change a boat, that OLD can loft. In job.json the same
keys and words must stand, and the same numbers within 1e-6. Other text files must have the same words, and the same
numbers within a unit of the last figure written. Of a PDF each page must have the same words and the same ink.
Every difference is listed; exit 1 if there is any.
"""

from __future__ import annotations

import csv
import json
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2
from sweep_boats import SAMPLES, change, toml_text

CLOSE = 1e-6  # mm, of job.json's numbers
NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:e-?\d+)?")
DPI, GREY = 72, 48  # of a rendered page; shades by which a pixel may differ
MOST_TOLD = 12  # differences told of one file
ASKED = ("--date", "2001-01-01", "--quiet")


def main(old: Path, new: Path, seed: int = 0, variants: int = 10) -> int:
    count = 0
    with tempfile.TemporaryDirectory() as folder:
        for boat in boats(Path(folder), old, seed, variants):
            said = [lofted(python, boat, f"out-{name}") for python, name in ((old, "old"), (new, "new"))]
            told = list(differences(boat, said))
            print(f"{boat.name}: {len(told) or 'no'} differences", *told, sep="\n  ", flush=True)
            count += len(told)
            shutil.rmtree(boat)
    return 1 if count else 0


def boats(folder: Path, python: Path, seed: int, variants: int) -> Iterator[Path]:
    """The samples, then variants that can be made, each in a folder of its own."""
    for sample in ("saltmeadow", "duckweed", "reedling"):
        yield Path(shutil.copytree(SAMPLES / sample, folder / sample, ignore=shutil.ignore_patterns("out")))
    dice, made = random.Random(seed), 0
    while made < variants:
        sample = dice.choice(("saltmeadow", "duckweed", "reedling"))
        data, rows = given(sample)
        told = [change(dice, data, rows) for _ in range(dice.randint(2, 5))]
        boat = Path(shutil.copytree(SAMPLES / sample, folder / f"{sample}-{seed}-{made}"))
        (boat / "boat.toml").write_text(toml_text(data), encoding="utf-8")
        with (boat / "offsets.csv").open("w", newline="", encoding="utf-8") as file:
            csv.writer(file).writerows(rows)
        if lofted(python, boat, "out-try")[0]:
            shutil.rmtree(boat)
            continue
        shutil.rmtree(boat / "out-try")
        print(f"{boat.name}: {'; '.join(told)}")
        made += 1
        yield boat


def given(sample: str) -> tuple[dict[str, Any], list[list[str]]]:
    import tomllib

    data = tomllib.loads((SAMPLES / sample / "boat.toml").read_text(encoding="utf-8"))
    with (SAMPLES / sample / "offsets.csv").open(newline="", encoding="utf-8") as file:
        return data, list(csv.reader(file))


def lofted(python: Path, boat: Path, out: str) -> tuple[int, str]:
    """Exit and words of one run. The folder's own name is taken out of the words."""
    done = subprocess.run(
        [python, "-m", "patterns.cli.main", "loft", boat, "--out", boat / out, *ASKED],
        capture_output=True,
        text=True,
        check=False,
        cwd=boat,
        env=os.environ | {"SOURCE_DATE_EPOCH": "978307200"},
    )
    return done.returncode, (done.stdout + done.stderr).replace(out, "out")


def differences(boat: Path, said: Sequence[tuple[int, str]]) -> Iterator[str]:
    """Where two job folders of one boat differ, and what was said while they were made."""
    (old_code, old_words), (new_code, new_words) = said
    if old_code != new_code:
        yield f"exit {old_code} was, {new_code} is: {new_words[-300:]}"
    yield from (f"said: {line}" for line in lines_apart(old_words, new_words))
    old, new = boat / "out-old", boat / "out-new"
    names = [{str(path.relative_to(out)) for path in out.rglob("*") if path.is_file()} for out in (old, new)]
    yield from (f"{name}: gone" for name in sorted(names[0] - names[1]))
    yield from (f"{name}: new" for name in sorted(names[1] - names[0]))
    for name in sorted(names[0] & names[1]):
        a, b = old / name, new / name
        if name.endswith(".scrieve-files") or a.read_bytes() == b.read_bytes():
            continue
        apart = list(of_file(a, b))
        yield from (f"{name}: {one}" for one in apart[:MOST_TOLD])
        if len(apart) > MOST_TOLD:
            yield f"{name}: and {len(apart) - MOST_TOLD} more"


def of_file(a: Path, b: Path) -> Iterator[str]:
    match a.suffix:
        case ".json":
            yield from of_json(json.loads(a.read_text("utf-8")), json.loads(b.read_text("utf-8")), "")
        case ".pdf":
            yield from of_pdf(a, b)
        case _:
            yield from lines_apart(a.read_text("utf-8"), b.read_text("utf-8"))


def of_json(a: Any, b: Any, at: str) -> Iterator[str]:
    if isinstance(a, dict) and isinstance(b, dict):
        yield from (f"{at}: key {key!r} gone" for key in a.keys() - b.keys())
        yield from (f"{at}: key {key!r} new" for key in b.keys() - a.keys())
        for key in a.keys() & b.keys():
            yield from of_json(a[key], b[key], f"{at}/{key}")
    elif isinstance(a, list) and isinstance(b, list):
        if len(a) != len(b):
            yield f"{at}: {len(a)} was, {len(b)} is"
        for number, (one, other) in enumerate(zip(a, b, strict=False)):
            yield from of_json(one, other, f"{at}/{number}")
    elif not ((is_number(a) and is_number(b) and abs(a - b) <= CLOSE) or a == b):
        yield f"{at}: {a!r} was, {b!r} is"


def is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def lines_apart(a: str, b: str) -> Iterator[str]:
    """Lines whose words differ, or whose numbers do by more than one of their last figure."""
    old, new = a.splitlines(), b.splitlines()
    if len(old) != len(new):
        yield f"{len(old)} lines was, {len(new)} is"
    for one, other in zip(old, new, strict=False):
        if one != other and not alike(one, other):
            yield f"{one[:160]!r} was, {other[:160]!r} is"


def alike(a: str, b: str) -> bool:
    if NUMBER.split(a) != NUMBER.split(b):
        return False
    return all(near(x, y) for x, y in zip(NUMBER.findall(a), NUMBER.findall(b), strict=True))


def near(a: str, b: str) -> bool:
    digits = min(len(number.partition(".")[2]) for number in (a, b))
    return a == b or ("." in a and "." in b and abs(float(a) - float(b)) <= 1.01 * 10.0**-digits)


def of_pdf(a: Path, b: Path) -> Iterator[str]:
    with pypdfium2.PdfDocument(a) as old, pypdfium2.PdfDocument(b) as new:
        if len(old) != len(new):
            yield f"{len(old)} pages was, {len(new)} is"
        for number, (one, other) in enumerate(zip(old, new, strict=False), 1):
            words = [page.get_textpage().get_text_range() for page in (one, other)]
            yield from (f"page {number}: {line}" for line in lines_apart(*words))
            ink = [page.render(scale=DPI / 72, grayscale=True).to_numpy().astype(int) for page in (one, other)]
            if ink[0].shape != ink[1].shape or (np.abs(ink[0] - ink[1]) > GREY).any():
                yield f"page {number}: other ink"


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), Path(sys.argv[2]), *map(int, sys.argv[3:])))
