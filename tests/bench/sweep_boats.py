"""Boats changed at random, given to ``fair`` and ``loft``: every answer must be one a builder can use.

    nice python tests/bench/sweep_boats.py SEED [FAIR [LOFT]]      (2,000 and 500 where not said)

Each boat is one of the samples. To some, one to three faults are done: keys of boat.toml changed, left out, copied or
made up, rows and cells of the table changed; every key that the models of boat.toml know is met. Others are changed as
builders change a boat: sizes a little, thicknesses, words that a key takes, woods, names in other alphabets, a piece
more or less. Most of the latter can be made, and ``loft`` gets more of them.

A case fails on a traceback; a warning of numpy's; an exit of neither 0 nor 1; a message that does not begin with the
file and the row, column or key, or with the part; words of the program's own; a boat that loft refuses and fair does
not; more than a minute. Of a boat that was made, no file may be empty, every part's file for the router has a line to
cut, and another library reads each and finds no fault. Each failing boat is told with its number: a number as a fourth
word runs that boat alone and shows its traceback.
"""

from __future__ import annotations

import csv
import gc
import io
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
from collections.abc import Iterator, Sequence
from contextlib import redirect_stderr, redirect_stdout
from copy import deepcopy
from enum import Enum
from pathlib import Path
from typing import Any, get_args

import ezdxf
from pydantic import BaseModel

sys.path.insert(0, str(Path(__file__).parent.parent / "support"))

from toml_written import Toml, toml, toml_text

from patterns.cli.main import main
from patterns.reading.toml.boat_tables import BoatToml
from patterns.units.lengths import SHOWS

Keys = tuple[str, ...]

SAMPLES = Path(__file__).parent.parent.parent / "samples"
LONGEST = 60  # seconds of one core's work, whatever else the machine is busy with
WORDS = (
    "", " ", "?", "yes", "fore", "aft", "sawn", "sheet", "mould", "mm", "ft-in-16ths", "butt", "toothed", "scarf", "3",
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
FILE_AND_PLACE = re.compile(
    r"(boat\.toml|offsets\.csv), (line \d+|row \d+|column|\[)|offsets\.csv: found (no row|nothing)|boat\.toml: found ''"
)
PART = re.compile(
    r"((side|bottom|strake \d+) panel|(side|bottom|strake \d+|side and bottom) planking|(frame|mould|station) [^:]+"
    r"|(false )?(stem|sternpost)|(bow )?transom|sheer|chine( \d+)?( log)?|inwale|outwale|rub rail|keel batten|keelson"
    r"|skeg|(after )?breasthook|riser|"
    r"(bow )?quarter knee|thwart \d+( knee)?|router|saw)\b[^:]*: [\w\[]|'[^']+' and '[^']+' would have the same file"
)
SETS_OUT = (
    "If the hull should be sound, look first",
    "No figure of the table suits",
    "No single figure of the table stands out",
    "No figure is surely wrong",
    "With the table as it is",
    "patterns are made for hulls",
)
REFUSED = "scrieve loft will refuse this boat as it stands:"
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


ROUGH = {"fair": 0.7, "loft": 0.25}  # share of boats that faults are done to; the rest are changed as builders do
WOODS = (
    "white oak",
    "Douglas fir",
    "okoume plywood",
    "marine plywood",
    "spruce",
    "Eiche",
    "chêne",
    "дуб",
    "δρυς",
    "sapele",
)
NAMES = ("Łódka", "Ærøskøbing", "Чайка", "Γλάρος", "São Tomé", "O'Hara 2", "Nº 1", "Žluťásek", "a-b_c", "Ñandú ¾")
CHANGES = (
    "size",
    "size",
    "size",
    "size",
    "word",
    "word",
    "thickness",
    "wood",
    "name",
    "cell",
    "cell",
    "piece",
    "frames",
)


def mutated(dice: random.Random, number: int, command: str) -> tuple[str, Toml, list[list[str]], list[str]]:
    """A sample, its boat.toml and its table after some changes, and what these were."""
    sample = dice.choice(("saltmeadow", "duckweed", "reedling"))
    data = tomllib.loads((SAMPLES / sample / "boat.toml").read_text(encoding="utf-8"))
    with (SAMPLES / sample / "offsets.csv").open(newline="", encoding="utf-8") as file:
        rows = list(csv.reader(file))
    if dice.random() >= ROUGH[command]:
        return sample, data, rows, [change(dice, data, rows) for _ in range(dice.randint(1, 4))]
    told: list[str] = []
    for place in range(dice.choice((1, 1, 1, 2, 3))):
        if dice.random() < 0.3:
            told.append(change_rows(dice, rows))
        elif place or dice.random() < 0.5:
            told.append(change_given(dice, data))
        else:
            told.append(set_key(dice, data, ALL_KEYS[number % len(ALL_KEYS)]))
    return sample, data, rows, told


def change(dice: random.Random, data: Toml, rows: list[list[str]]) -> str:
    """One thing as a builder might want it."""
    deed = dice.choice(CHANGES)
    paths = [path for path in leaves(data) if path[-1] not in ("profile", "guide")]
    match deed:
        case "size":
            sizes = [path for path in paths if is_size(held_at(data, path))]
            path = dice.choice(sizes)
            return put(data, path, near(dice, held_at(data, path)))
        case "thickness":
            thick = [path for path in paths if path[-1] in ("thickness", "sided") and "boards" not in path]
            return put(data, dice.choice(thick), f"{dice.uniform(3, 25):.1f} mm")
        case "wood":
            woods = [path for path in paths if path[-1] in ("material", "gusset_material")]
            return put(data, dice.choice(woods), dice.choice(WOODS))
        case "name":
            if dice.random() < 0.5:
                return put(data, ("boat", "name"), dice.choice(NAMES))
            data.setdefault("stringer", deepcopy(WHOLE["stringer"]))
            return put(data, ("stringer", 0, "name"), dice.choice(NAMES))
        case "word":
            table = [(path, words) for path, words in CHOICES.items() if path[0] in data or path[0] in ALWAYS]
            path, words = dice.choice(table)
            return put(data, path, dice.choice(words))
        case "cell":
            full = [row for row in rows[3:] if any(row[1:])]
            row = dice.choice(full)
            place = dice.choice([place for place, text in enumerate(row) if place and text])
            row[place] = near_cell(dice, row[place])
            return f"cell {row[0]} {place} = {row[place]}"
        case "frames":
            names = [name for name in rows[0][2:-1] if dice.random() < 0.6]
            return put(data, ("frames", "stations"), names or rows[0][2:3])
        case _:
            key = dice.choice(list(WHOLE))
            if key in data:
                del data[key]
                return f"no {key}"
            return put(data, (key,), deepcopy(WHOLE[key]))


def words_of(model: type[BaseModel], *above: str) -> Iterator[tuple[Keys, tuple[Any, ...]]]:
    """Every key that takes one of some words, or yes and no, with what it takes."""
    for name, field in model.model_fields.items():
        path = (*above, field.alias or name)
        choices = [one for one in (field.annotation, *get_args(field.annotation)) if isinstance(one, type)]
        kinds = next((one for one in choices if issubclass(one, Enum)), None)
        if kinds:
            yield path, tuple(one.value for one in kinds)
        elif bool in choices:
            yield path, (True, False)
        inner = model_in(field.annotation)
        if inner and "list" not in str(field.annotation):
            yield from words_of(inner, *path)


ALWAYS = ("router", "printer", "stock")  # tables that may be written into any boat
CHOICES: dict[Keys, tuple[Any, ...]] = {
    **dict(words_of(BoatToml)),
    ("boat", "show"): SHOWS,
    ("printer", "paper"): ("letter", "A4", "A3", "tabloid", "legal"),
    ("router", "cutter"): (3, "1/8 in", "6 mm", "1/2 in"),
    ("router", "tabs"): (0, 2, 4, 8),
    ("router", "pilot"): ("2 mm", "3 mm"),
    ("stock", "scarf"): (6, 8, 12),
    ("frames", "mould"): ("solid", "open"),
    ("frames", "gusset_faces"): ("both", "marked"),
}


def held_at(data: Any, path: Sequence[Any]) -> Any:
    for key in path:
        data = data[key]
    return data


def put(data: Toml, path: Sequence[Any], new: Any) -> str:
    held: Any = data
    for key in path[:-1]:
        held = held.setdefault(key, {}) if isinstance(held, dict) else held[key]
    held[path[-1]] = new
    return f"{'.'.join(map(str, path))} = {new}"


def is_size(value: Any) -> bool:
    if isinstance(value, str):
        return bool(re.fullmatch(r"[\d./ ]+ (in|mm)|\d+-\d+-\d+", value))
    return isinstance(value, int | float) and not isinstance(value, bool)


def near(dice: random.Random, old: Any) -> Any:
    """A size a seventh larger or smaller at most, most of them much nearer."""
    by = 1 + min(max(dice.gauss(0, 0.07), -1 / 7), 1 / 7)
    if not isinstance(old, str):
        return max(1, round(old * by)) if isinstance(old, int) and old < 20 else round(old * by, 1)
    if old.endswith(" mm"):
        return f"{float(old[:-3]) * by:.1f} mm"
    if dashed := re.fullmatch(r"(\d+)-(\d+)-(\d+)", old):
        return in_eighths(round(eighths(dashed) * by))
    parts = [part.partition("/") for part in old.removesuffix(" in").split()]
    return f"{max(1, round(16 * by * sum(float(a) / float(b or 1) for a, _, b in parts)))}/16 in"


def near_cell(dice: random.Random, old: str) -> str:
    """An offset up to three eighths, or 9 mm, off."""
    dashed = re.fullmatch(r"(\d+)-(\d+)-(\d+)", old)
    by = dice.choice((-3, -2, -1, 1, 2, 3))
    return in_eighths(max(0, eighths(dashed) + by)) if dashed else f"{max(0.0, float(old) + 3 * by):g}"


def eighths(dashed: re.Match[str]) -> int:
    feet, inches, rest = map(int, dashed.groups())
    return 8 * (12 * feet + inches) + rest


def in_eighths(count: int) -> str:
    return f"{count // 96}-{count // 8 % 12}-{count % 8}"


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
    return f"{path} = {toml(new)[:60]}"


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
    return f"{path} set to {toml(new)[:60]}"


def answered(command: str, boat: Path) -> tuple[str, str, str, int]:
    """What went wrong while a command ran, or nothing; what it said, and on standard error; its exit."""
    out, err = io.StringIO(), io.StringIO()
    signal.setitimer(signal.ITIMER_PROF, LONGEST)
    try:
        with redirect_stdout(out), redirect_stderr(err), warnings.catch_warnings():
            warnings.simplefilter("error")
            code = main([command, str(boat)])
    except Late:
        return f"over {LONGEST} s", traceback.format_exc(), "", -1
    except BaseException as error:
        frame = traceback.extract_tb(error.__traceback__)[-1]
        ours = [one for one in traceback.extract_tb(error.__traceback__) if "/patterns/" in one.filename]
        at = ours[-1] if ours else frame
        where = f"{Path(at.filename).name}:{at.lineno} {at.name}"
        return f"{type(error).__name__} at {where}: {str(error)[:90]}", traceback.format_exc(), "", -1
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        gc.collect()
    return "", out.getvalue(), err.getvalue(), code


def fault_of(command: str, boat: Path, own: Sequence[str]) -> tuple[str, str]:
    """What is wrong with the answer, and the answer; nothing is wrong with a good one.

    ``own`` are names of parts that the builder chose.
    """
    fault, out, err, code = answered(command, boat)
    if fault:
        return fault, out
    if code not in (0, 1):
        return f"exit {code}", out + err
    refusal = err.partition("\n")[2] if code else later_refused(err)
    if code and not err.startswith("scrieve: nothing was written.\n"):
        return "a refusal without its first line", out + err
    bare = [line for line in refusal.splitlines() if line.strip() and line[0] != " " and not placed(line, own)]
    if bare or (code and not refusal.strip()):
        return f"a message without file and place, or part: {bare[0][:80] if bare else ''}", out + err
    odd = OURS_ONLY.search(out + err)
    if odd:
        at = (out + err).find(odd[0])
        return f"words of the program's own: {(out + err)[max(0, at - 60) : at + 40]!r}", out + err
    if command == "loft" and code:
        fault, also, warned, refused = answered("fair", boat)
        if fault or not (refused or later_refused(warned)):
            return fault or "loft refuses what fair does not", out + err + also
    faults = list(faults_of_files(boat / "out")) if command == "loft" and not code else []
    if faults:
        return faults[0], "\n".join(faults)
    kind = "refused at its key or cell" if code and FILE_AND_PLACE.match(refusal) else "refused as a shape"
    return "", kind if refusal else "made"


def later_refused(err: str) -> str:
    """What fair says on standard error that loft will refuse; its lines as they were before they were broken."""
    told = err.partition(REFUSED)[2]
    return re.sub(r"(?<=\S)\n {7}(?=\S)", lambda end: "\n" if is_begun(told[end.end() :]) else " ", told).replace(
        "\n" + 7 * " ", "\n"
    )


def is_begun(line: str) -> bool:
    return bool(FILE_AND_PLACE.match(line) or PART.match(line) or line.startswith(SETS_OUT))


def placed(line: str, own: Sequence[str]) -> bool:
    """Whether a message begins with its file and place, or its part; the builder's own names are parts too."""
    return is_begun(line) or any(line.startswith(name) for name in own)


def faults_of_files(out: Path) -> Iterator[str]:
    """Of a job's files: what is empty, and what another library finds wrong with those for the router."""
    for path in sorted(out.rglob("*")):
        if path.is_file() and not path.stat().st_size:
            yield f"{path.name}: empty"
    for path in sorted(out.rglob("*.dxf")):
        document = ezdxf.readfile(path)  # type: ignore[attr-defined]
        found = document.audit()
        if found.errors or found.fixes:
            yield f"{path.name}: {(*found.errors, *found.fixes)[0].message}"
        if not document.modelspace().query('LWPOLYLINE[layer=="cut-outside"]'):
            yield f"{path.name}: nothing to cut"
    for path in sorted(out.rglob("*.svg")):
        if "<path" not in path.read_text(encoding="utf-8"):
            yield f"{path.name}: no line drawn"


def run(command: str, seed: int, numbers: range, *, show: bool) -> None:
    failed: Counter[str] = Counter()
    done: Counter[str] = Counter()
    slowest = 0.0
    for number in numbers:
        dice = random.Random(f"{seed} {command} {number}")
        sample, data, rows, told = mutated(dice, number, command)
        with tempfile.TemporaryDirectory() as folder:
            boat = Path(folder) / "boat"
            boat.mkdir()
            (boat / "boat.toml").write_text(toml_text(data), encoding="utf-8")
            with (boat / "offsets.csv").open("w", newline="", encoding="utf-8") as file:
                csv.writer(file).writerows(rows)
            began = time.process_time()
            fault, answer = fault_of(command, boat, names_in(data))
            slowest = max(slowest, time.process_time() - began)
        done["FAILED" if fault else answer] += 1
        if fault:
            failed[re.sub(r"\d+\.\d+", "#", fault)] += 1
            print(f"{command} {seed} {number} {sample} {'; '.join(told)}\n    {fault}", flush=True)
        if show:
            print(toml_text(data), *map(",".join, rows), told, answer, sep="\n")
        if number % 20 == 19:
            print(f"... {number + 1}: {told_counts(done)}; the slowest took {slowest:.1f} s", flush=True)
    print(
        f"\n{command}, seed {seed}: {sum(done.values())} boats, {told_counts(done)}; the slowest took {slowest:.1f} s"
    )
    for fault, count in failed.most_common():
        print(f"{count:5d}  {fault}")


def told_counts(done: Counter[str]) -> str:
    return ", ".join(f"{count} {what}" for what, count in done.most_common())


def names_in(data: Toml) -> list[str]:
    """Parts' names that the builder chose."""
    tables = data.get("stringer", [])
    named = tables if isinstance(tables, list) else []
    return [str(one.get("name", "stringer")) for one in named if isinstance(one, dict)]


def late(*_: object) -> None:
    raise Late


if __name__ == "__main__":
    seed, *counts = map(int, sys.argv[1:] or ["1"])
    fairs, lofts, *alone = (*counts, *(2000, 500)[len(counts) :])
    signal.signal(signal.SIGPROF, late)
    if hasattr(os, "sched_setaffinity"):  # one process is the easiest to look into
        os.sched_setaffinity(0, set(sorted(os.sched_getaffinity(0))[seed % 2 :][:1]))
    for command, count in (("fair", fairs), ("loft", lofts)):
        if count:
            run(command, seed, range(alone[0], alone[0] + 1) if alone else range(count), show=bool(alone))
