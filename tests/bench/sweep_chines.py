"""Random chined boats of every kind, lofted: each must be made, or refused in a sentence that names a part or a file.

    nice python tests/bench/sweep_chines.py SEED [COUNT [WHOLE]]      (300 boats and every 10th whole where not said)

Kinds: flat and V bottoms, one to four chines, prams, double-enders, lapped strakes; joints of every sort, frames of
every kind, thicknesses, gains and ends at random. Every ``WHOLE``-th goes through the command, which writes and checks
all its files; the others are lofted as values. A boat fails on a traceback, a warning of numpy's, a refusal without its
place, or a minute of one core's work. A number as a fourth word runs that boat alone and shows it.
"""

from __future__ import annotations

import re
import signal
import sys
import tempfile
import time
import traceback
import warnings
from collections import Counter
from pathlib import Path
from random import Random

from sweep_boats import LONGEST, Late, fault_of, late

sys.path.insert(0, str(Path(__file__).parent.parent / "support"))

from chined_boats import ChinedForm, boat_folder, boat_toml, random_form

from patterns.errors import PatternsError
from patterns.parts.whole import loft
from patterns.reading.boat.boat_toml import read_boat

STATIONS = 8
PLACED = re.compile(
    r"(boat\.toml|offsets\.csv)\b|'?(the )?(side|bottom|strake \d)\b|(side|bottom|strake \d) panel"
    r"|(frame|mould|station) |stem|sternpost|(bow )?transom|sheer|chine|keel|inwale|outwale"
)


def written(folder: Path, dice: Random) -> str:
    """A boat's two files; what kind she is."""
    lapped = dice.random() < 0.2
    form: ChinedForm = random_form(dice, chines=dice.choice((3, 4, 5)) if lapped else None)
    data = boat_toml(dice, form, lapped=lapped, stations=STATIONS)
    boat_folder(folder, form, data, stations=STATIONS, rounding=dice.choice((0.1, 0.5, 1.0)))
    ends = f"{'stem' if form.fore is None else 'pram'}-{'post' if form.aft is None else 'transom'}"
    return f"{'lapped ' if lapped else ''}{'flat' if form.keel is None else 'V'} {len(form.drops)} {ends}"


def lofted(folder: Path) -> tuple[str, str]:
    """What is wrong with the answer, or nothing; and the answer."""
    signal.setitimer(signal.ITIMER_PROF, LONGEST)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            job = loft(read_boat(folder).boat)
            told = [f"{one.where}: {one.text}" for one in job.warnings]
    except PatternsError as error:
        text = str(error)
        return ("" if PLACED.match(text) and " " in text else f"a refusal without its place: {text[:90]}"), text
    except Late:
        return f"over {LONGEST} s", traceback.format_exc()
    except BaseException as error:
        ours = [one for one in traceback.extract_tb(error.__traceback__) if "/patterns/" in one.filename]
        at = f"{Path(ours[-1].filename).name}:{ours[-1].lineno}" if ours else "?"
        return f"{type(error).__name__} at {at}: {str(error)[:90]}", traceback.format_exc()
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
    return "", "\n".join(["made", *told])


def run(seed: int, numbers: range, whole: int, *, show: bool) -> None:
    done: Counter[str] = Counter()
    failed: Counter[str] = Counter()
    refused: Counter[str] = Counter()
    slowest = 0.0
    for number in numbers:
        dice = Random(f"{seed} chines {number}")
        with tempfile.TemporaryDirectory() as root:
            folder = Path(root) / "boat"
            folder.mkdir()
            kind, began = written(folder, dice), time.process_time()
            by_command = whole and number % whole == whole - 1
            fault, answer = fault_of("loft", folder, []) if by_command else lofted(folder)
            slowest = max(slowest, time.process_time() - began)
            if show:
                print((folder / "boat.toml").read_text(), (folder / "offsets.csv").read_text(), answer, sep="\n")
        made = answer.startswith("made")
        done["FAILED" if fault else "made" if made else "refused"] += 1
        print(f"{number} {kind}: {fault or answer.splitlines()[0][:230]}", flush=True)
        if fault:
            failed[re.sub(r"\d+\.\d+", "#", fault)] += 1
        elif not made:
            refused[re.sub(r"[\d.-]+", "#", answer.splitlines()[0])[:100]] += 1
    print(f"\nseed {seed}: {dict(done)}; the slowest took {slowest:.1f} s")
    for title, counts in (("failed", failed), ("refused", refused)):
        for what, count in counts.most_common():
            print(f"{count:5d}  {title}: {what}")


if __name__ == "__main__":
    seed, *rest = map(int, sys.argv[1:] or ["1"])
    count, whole, *alone = (*rest, *(300, 10)[len(rest) :])
    signal.signal(signal.SIGPROF, late)
    run(seed, range(alone[0], alone[0] + 1) if alone else range(count), whole, show=bool(alone))
