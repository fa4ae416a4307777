"""Random variants of every sample, lofted whole and cut by random router settings: nothing may come out unfit to cut.

    .venv/bin/python tests/bench/bench_router_variants.py [how many] [seed]

Every length of boat.toml that is no place is changed at random, and every key of [router] drawn. A refusal in words is
counted; anything else is shown with the seed that makes it again. Of each boat that is cut, some parts are written and
read by group codes, by ezdxf with audit and recovery, and by GDAL (`tests/support/dxf_judged.py`).
"""

from __future__ import annotations

import random
import re
import sys
import tempfile
import traceback
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "support")]

from dxf_judged import faults_of_file  # noqa: E402
from router_settings import random_rules  # noqa: E402

from patterns.errors import PatternsError  # noqa: E402
from patterns.parts.whole import loft  # noqa: E402
from patterns.reading.boat.boat_toml import read_boat  # noqa: E402
from patterns.shop.router.router_parts import ready_to_cut  # noqa: E402
from patterns.writing.ink.dxf import write_dxf  # noqa: E402

SAMPLES = ("duckweed", "reedling", "saltmeadow", "sandlark", "fennel", "windrow", "marram")
READ_BACK = 6  # parts of each boat
SIZES = re.compile(
    r"^(\s*(?:sided|moulded|thickness|side_moulded|floor_moulded|crown|width|up|along|along_side|along_transom|length)"
    r'\s*=\s*)("[^"\n]+"|[\d.]+)(.*)$',
    re.MULTILINE,
)


def variant(sample: str, chance: random.Random) -> str:
    """boat.toml with about a third of its sizes made 0.4 to 2.5 times as large, and random words in [router]."""
    text = (ROOT / "samples" / sample / "boat.toml").read_text(encoding="utf-8")
    millimetres = 'units       = "mm"' in text

    def resized(found: re.Match[str]) -> str:
        if chance.random() > 0.3:
            return found[0]
        mm = (
            _mm(found[2], millimetres=millimetres)
            * chance.choice((0.4, 0.7, 0.9, 1.2, 1.6, 2.5))
            * chance.uniform(0.9, 1.1)
        )
        return f'{found[1]}"{mm:.3f} mm"{found[3]}'

    start = text.find("[router]")
    if start >= 0:
        text = text[:start] + text[text.index("[", start + 1) :]
    radius = f'\n[transom]\nradius = "{chance.uniform(3000, 9000):.0f} mm"'
    if chance.random() < 0.3:
        text = text.replace("\n[transom]", radius, 1)
    return f"{SIZES.sub(resized, text)}\n{router(chance)}"


def _mm(written: str, *, millimetres: bool) -> float:
    plain = written.strip('"')
    numbers = re.fullmatch(r"(?:(\d+) )?(?:(\d+)/(\d+)|([\d.]+))\s*(in|ft|mm)?", plain)
    if numbers is None:
        return 20.0
    whole, over, under, decimal, unit = numbers.groups()
    size = float(whole or 0) + (float(over) / float(under) if over else float(decimal))
    return size * {"in": 25.4, "ft": 304.8, "mm": 1.0}[unit or ("mm" if millimetres else "in")]


def router(chance: random.Random) -> str:
    keys = [
        f'cut = "{chance.choice(("larger face", "finished line", "smaller face"))}"',
        f'cutter = "{chance.uniform(2, 12):.2f} mm"',
        f'relief = "{chance.choice(("at the corner", "along one side", "none"))}"',
        f'clearance = "{chance.uniform(0, 1):.2f} mm"',
        f"tabs = {chance.randrange(0, 12)}",
        f'tab_length = "{chance.uniform(3, 25):.1f} mm"',
        'tab_height = "1 mm"',
        f'pilot = "{chance.uniform(1, 6):.1f} mm"',
        f'pilot_edge = "{chance.uniform(4, 15):.1f} mm"',
    ]
    return "\n".join(["[router]", *(key for key in keys if chance.random() < 0.6)])


def tried(sample: str, seed: int) -> str:
    """``cut``, ``refused``, or the fault."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        (folder / "boat.toml").write_text(variant(sample, random.Random(seed)), encoding="utf-8")
        (folder / "offsets.csv").write_bytes((ROOT / "samples" / sample / "offsets.csv").read_bytes())
        try:
            read = read_boat(folder)
            job, chance = loft(read.boat), random.Random(f"rules {seed}")
            for rules in (read.router, random_rules(chance, read.router)):
                made = ready_to_cut(job.to_cut, rules, boat=read.boat.name, show=read.boat.show)
                for part in chance.sample(made, min(READ_BACK, len(made))):
                    file = folder / "part.dxf"
                    file.write_bytes(write_dxf(part, rules.form, run="ABCDE"))
                    for fault in faults_of_file(file, part.at_origin(), rules.form):
                        return f"{part.title} by {rules}: {fault}\n"
        except PatternsError:
            return "refused"
        except Exception:
            return traceback.format_exc(limit=-3)
    return "cut"


def main(count: int, seed: int) -> None:
    counts: Counter[str] = Counter()
    for number in range(seed, seed + count):
        sample = SAMPLES[number % len(SAMPLES)]
        told = tried(sample, number)
        counts[told if told in ("cut", "refused") else "fault"] += 1
        if told not in ("cut", "refused"):
            print(f"{sample}, seed {number}:\n{told}", flush=True)
    print(", ".join(f"{what} {many}" for what, many in counts.items()))


if __name__ == "__main__":
    words = [int(word) for word in sys.argv[1:]]
    main(words[0] if words else 60, words[1] if len(words) > 1 else random.SystemRandom().randrange(10**6))
