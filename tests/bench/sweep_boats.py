"""Boats with one to three faults each, given to ``fair`` and ``loft``: every answer must be one a builder can use.

    nice python tests/bench/sweep_boats.py SEED [FAIR [LOFT]]      (2,000 and 500 where not said)

Each boat is one of the samples with keys of boat.toml changed, left out, copied or made up, or with rows and cells of
its table changed. Every key that the models of boat.toml know is met. A case fails on a traceback, on a warning of
numpy's, on a refusal that names no file, part, line or place, and where it takes more than a minute. Each failing boat
is told with its number: a number as a fourth word runs that boat alone and shows its traceback.
"""

from __future__ import annotations

import csv
import gc
import io
import json
import math
import os
import random
import re
import signal
import sys
import tempfile
import time
import tomllib
import traceback
import warnings
from collections import Counter
from collections.abc import Iterator
from contextlib import redirect_stderr, redirect_stdout
from copy import deepcopy
from pathlib import Path
from typing import Any, get_args

from pydantic import BaseModel

from patterns.cli.main import main
from patterns.reading.boat_tables import BoatToml

Toml = dict[str, Any]
Keys = tuple[str, ...]

SAMPLES = Path(__file__).parent.parent.parent / "samples"
LONGEST = 60  # seconds
WORDS = (
    "", " ", "?", "yes", "fore", "aft", "sawn", "sheet", "mould", "mm", "ft-in-16ths", "butt", "key", "scarf", "3",
    "1/0", "-1/2 in", "1e400", "1_000", "5 in 3", "0-0-0", "letter", "A4", "2 x 3 in", "Ελλάδα", "Лодка", "舟",
    "e\u0301", "\u202eabc", "a/b", "../x", "x" * 130, "side panel", "{0}", "%s", "=1+1", "white oak", "plywood",
    "above", "base", "waterline", "oak\nash", "marine plywood",
)  # fmt: skip
NUMBERS = (
    0, -1, 1, 2, 1e-9, 1e-3, 0.1, 0.5, 3, 5, 10, 18, 25, 50, 90, 150, 300, 1000, 1e5, 1e9, -50, -1e9, 10**50, 1e308,
    float("nan"), float("inf"), -float("inf"), 10**5000,
)  # fmt: skip
KINDS: tuple[Any, ...] = (True, False, [], {}, [[]], [1], [[0, 1], [1, 0]], {"length": 1}, ["1", "2"], [0, 0])
CELLS = ("", "0", "-1", "1e9", "nan", "abc", "0-0-0", "99-0-0", "1,5", "1.234,5", "?", "10000", "0.001", "=1", "'")
# Whole tables for keys of those that a sample has not.
A_PIECE = {"sided": "20 mm", "moulded": "35 mm"}
WHOLE: Toml = {
    **dict.fromkeys(("chine_log", "inwale", "outwale", "keel_batten", "keelson"), A_PIECE),
    "rub_rail": {**A_PIECE, "below_sheer": "90 mm"},
    "stringer": [{**A_PIECE, "below_sheer": "150 mm"}],
    "skeg": {"sided": "30 mm", "from": "1500 mm", "depth": "90 mm"},
    "breasthook": {"length": "230 mm", "thickness": "20 mm"},
    "quarter_knee": {"along_side": "160 mm", "along_transom": "130 mm", "thickness": "18 mm"},
    "thwart": [{"at": "1200 mm", "width": "220 mm", "height": "250 mm", "thickness": "18 mm"}],
    "riser": A_PIECE,
    "thwart_knee": {"up": "110 mm", "along": "140 mm", "sided": "18 mm"},
    "fairing": [{"line": "sheer", "lock": True}],
    "frame": [{"station": "3", "sided": "20 mm"}],
    "building": {"way": "upside down", "strongback": "900 mm"},
}
NAMES_A_PLACE = re.compile(
    r"boat\.toml|offsets\.csv|--\w|^[^:]+: found|\[\[?\w|"
    r"\b(panel|frame|stem|sternpost|transom|chine|sheer|keel|log|inwale|outwale|rail|batten|skeg|thwart|riser|knee|"
    r"breasthook|stringer|saw|sheet|gusset|floor|side|bottom|plank\w*|boards?|station \S+)\b",
    re.IGNORECASE,
)
OURS_ONLY = re.compile(
    r"Traceback|Self-intersection|not one clean loop|\bNone\b|(?<!found )(?<!')\bnan\b|array\(|<class|np\.float|dtype|"
    r"[A-Z]\w+Error\b"
)


class Late(BaseException):
    """A command took longer than it may."""


def keys_of(model: type[BaseModel], *above: str) -> Iterator[Keys]:
    """Every key that can be written, tables before what is in them."""
    for name, field in model.model_fields.items():
        path = (*above, field.alias or name)
        yield path
        inner = model_in(field.annotation)
        if inner:
            yield from keys_of(inner, *path)


def model_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((model for inner in get_args(annotation) if (model := model_in(inner))), None)


ALL_KEYS = tuple(keys_of(BoatToml))


def mutated(dice: random.Random, number: int) -> tuple[str, Toml, list[list[str]], list[str]]:
    """A sample, its boat.toml and its table after some faults, and what these were."""
    sample = dice.choice(("saltmeadow", "duckweed", "reedling"))
    data = tomllib.loads((SAMPLES / sample / "boat.toml").read_text(encoding="utf-8"))
    with (SAMPLES / sample / "offsets.csv").open(newline="", encoding="utf-8") as file:
        rows = list(csv.reader(file))
    told: list[str] = []
    for place in range(dice.choice((1, 1, 1, 2, 3))):
        if dice.random() < 0.3:
            told.append(change_rows(dice, rows))
        elif place or dice.random() < 0.5:
            told.append(change_given(dice, data))
        else:
            told.append(set_key(dice, data, ALL_KEYS[number % len(ALL_KEYS)]))
    return sample, data, rows, told


def change_rows(dice: random.Random, rows: list[list[str]]) -> str:
    full = [place for place, row in enumerate(rows) if place > 2 and any(row[1:])]
    first, second = dice.sample(full, 2)
    deed = dice.choice(("copy", "copy", "swap", "drop", "again", "cell", "cell", "add", "column", "blank", "fives"))
    match deed:
        case "copy":
            rows[second] = [rows[second][0], *rows[first][1:]]
        case "swap":
            rows[first][1:], rows[second][1:] = rows[second][1:], rows[first][1:]
        case "drop":
            del rows[first]
        case "again":
            rows.insert(second, list(rows[first]))
        case "cell":
            rows[first][dice.randrange(1, len(rows[first]))] = dice.choice(CELLS)
        case "add":
            column = dice.randrange(1, len(rows[first]))
            rows[first][column] = rows[second][column]
        case "column":
            one, other = dice.sample(range(1, len(rows[0])), 2)
            for row in rows:
                row[one] = row[other]
        case "blank":
            rows[first][1:] = [""] * (len(rows[first]) - 1)
        case _:
            rows[first][1:] = [dice.choice(("5", "0")) for _ in rows[first][1:]]
    return f"row {first + 1}, {second + 1}: {deed}"


def leaves(data: Any, *above: Any) -> Iterator[tuple[Any, ...]]:
    items = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, value in items:
        yield (*above, key)
        yield from leaves(value, *above, key)


def change_given(dice: random.Random, data: Toml) -> str:
    """A key the sample has, its value scaled or of another kind, left out or copied from elsewhere."""
    path = dice.choice(list(leaves(data)))
    held: Any = data
    for key in path[:-1]:
        held = held[key]
    old = held[path[-1]]
    deed = dice.choice(("other", "drop", "copied", *["scale"] * 7))
    if deed == "drop":
        del held[path[-1]]
        return f"{path} left out"
    if deed == "scale":
        new = scaled(dice, old)
    else:
        new = deepcopy(copied(dice, data)) if deed == "copied" else any_value(dice)
    held[path[-1]] = new
    return f"{path} = {str(new)[:60] if not isinstance(new, int) or abs(new) < 1e9 else 'huge'}"


def scaled(dice: random.Random, old: Any) -> Any:
    by = math.exp(dice.gauss(0, 1.2)) * dice.choice((*[1] * 9, -1))
    if isinstance(old, list):
        return [scaled(dice, one) if dice.random() < 0.5 else one for one in old]
    if isinstance(old, int | float) and not isinstance(old, bool):
        return old * by
    inches = re.fullmatch(r"([\d/ ]+) in", old) if isinstance(old, str) else None
    if inches:
        size = sum(float(a) / float(b or 1) for a, _, b in (p.partition("/") for p in inches[1].split()))
        return f"{round(size * by * 16)}/16 in" if by > 0 else f"{size * by:.3f} in"
    dashed = re.fullmatch(r"(\d+)-(\d+)-(\d+)", old) if isinstance(old, str) else None
    return f"{float(dashed[1]) * 304.8 * by:.1f} mm" if dashed else any_value(dice)


def copied(dice: random.Random, data: Toml) -> Any:
    held: Any = data
    for key in dice.choice(list(leaves(data))):
        held = held[key]
    return held


def any_value(dice: random.Random) -> Any:
    kind = dice.random()
    if kind < 0.35:
        return dice.choice(NUMBERS)
    if kind < 0.65:
        return round(math.exp(dice.uniform(-1, 8)), 2)
    return dice.choice(WORDS) if kind < 0.85 else deepcopy(dice.choice(KINDS))


def set_key(dice: random.Random, data: Toml, path: Keys) -> str:
    """A key of the models, whether the sample has it or not."""
    held: Any = data
    if path[0] in WHOLE and len(path) > 1:
        data.setdefault(path[0], deepcopy(WHOLE[path[0]]))
    for key in path[:-1]:
        held = held.setdefault(key, {}) if isinstance(held, dict) else {}
        held = (held or [{}])[0] if isinstance(held, list) else held
    if not isinstance(held, dict):
        return "nothing"
    new = any_value(dice) if dice.random() < 0.5 else f"{math.exp(dice.uniform(0, 6.5)):.1f} mm"
    held[path[-1]] = new
    return f"{path} set to {str(new)[:60] if not isinstance(new, int) or abs(new) < 1e9 else 'huge'}"


def toml(value: Any) -> str:
    match value:
        case bool():
            return str(value).lower()
        case int():
            return "1" + "0" * 5000 if abs(value) > 10**4000 else str(value)
        case float():
            return repr(value)
        case str():
            return json.dumps(value, ensure_ascii=False)
        case list():
            return f"[{', '.join(map(toml, value))}]"
        case _:
            return "{ " + ", ".join(f"{json.dumps(k)} = {toml(v)}" for k, v in value.items()) + " }"


def toml_text(data: Toml) -> str:
    """Tables under headings, as builders write them; what has become no table, first."""
    plain = [f"{key} = {toml(value)}" for key, value in data.items() if not isinstance(value, dict)]
    tables = [(key, value) for key, value in data.items() if isinstance(value, dict)]
    return "\n".join(
        [*plain, *(f"[{key}]\n" + "\n".join(f"{k} = {toml(v)}" for k, v in value.items()) for key, value in tables)]
    )


def fault_of(command: str, boat: Path) -> tuple[str, str]:
    """What is wrong with the answer, and the answer; nothing is wrong with a good one."""
    out, err = io.StringIO(), io.StringIO()
    began = time.monotonic()
    signal.alarm(LONGEST)
    try:
        with redirect_stdout(out), redirect_stderr(err), warnings.catch_warnings():
            warnings.simplefilter("error")
            code = main([command, str(boat), *(["--out", str(boat / "out")] if command == "loft" else [])])
    except Late:
        return f"over {LONGEST} s", traceback.format_exc()
    except BaseException as error:
        frame = traceback.extract_tb(error.__traceback__)[-1]
        ours = [one for one in traceback.extract_tb(error.__traceback__) if "/patterns/" in one.filename]
        at = ours[-1] if ours else frame
        where = f"{Path(at.filename).name}:{at.lineno} {at.name}"
        return f"{type(error).__name__} at {where}: {str(error)[:90]}", traceback.format_exc()
    finally:
        signal.alarm(0)
        gc.collect()
    said = err.getvalue()
    words = said.partition("\n")[2] if code else ""
    lines = [line for line in words.splitlines() if line and line[0] != " "]
    if code and (not lines or not NAMES_A_PLACE.search(lines[0])):
        return "a refusal without file or part", said
    odd = OURS_ONLY.search(said + out.getvalue())
    if odd:
        at = (said + out.getvalue()).find(odd[0])
        return f"words of the program's own: {(said + out.getvalue())[max(0, at - 60) : at + 40]!r}", said
    return "", f"{code} in {time.monotonic() - began:.1f} s"


def run(command: str, seed: int, numbers: range, *, show: bool) -> None:
    failed: Counter[str] = Counter()
    done: Counter[str] = Counter()
    slowest = 0.0
    for number in numbers:
        dice = random.Random(f"{seed} {command} {number}")
        sample, data, rows, told = mutated(dice, number)
        with tempfile.TemporaryDirectory() as folder:
            boat = Path(folder) / "boat"
            boat.mkdir()
            (boat / "boat.toml").write_text(toml_text(data), encoding="utf-8")
            with (boat / "offsets.csv").open("w", newline="", encoding="utf-8") as file:
                csv.writer(file).writerows(rows)
            began = time.monotonic()
            fault, answer = fault_of(command, boat)
            slowest = max(slowest, time.monotonic() - began)
        done[(fault and "failed") or answer[0]] += 1
        if fault:
            failed[re.sub(r"\d+\.\d+", "#", fault)] += 1
            print(f"{command} {seed} {number} {sample} {'; '.join(told)}\n    {fault}", flush=True)
        if show:
            print(toml_text(data), *map(",".join, rows), told, answer, sep="\n")
    print(f"\n{command}, seed {seed}: {sum(done.values())} boats, {done['0']} made, {done['1']} refused, "
          f"{done['failed']} FAILED; the slowest took {slowest:.1f} s", flush=True)  # fmt: skip
    for fault, count in failed.most_common():
        print(f"{count:5d}  {fault}")


def late(*_: object) -> None:
    raise Late


if __name__ == "__main__":
    seed, *counts = map(int, sys.argv[1:] or ["1"])
    fairs, lofts, *alone = (*counts, *(2000, 500)[len(counts) :])
    signal.signal(signal.SIGALRM, late)
    if hasattr(os, "sched_setaffinity"):  # one process is the easiest to look into
        os.sched_setaffinity(0, set(sorted(os.sched_getaffinity(0))[seed % 2 :][:1]))
    for command, count in (("fair", fairs), ("loft", lofts)):
        if count:
            run(command, seed, range(alone[0], alone[0] + 1) if alone else range(count), show=bool(alone))
