"""How round hulls are fitted, banded and doubted. A plain script.

    python tests/bench/bench_round.py WHAT [hulls] [seed] [fresh]

WHAT is one of
  fit     worst distance of every station's section, and midway between, from the formula; how long a fit takes
  band    share of places of the skin that lie within the band, 19 of 20 being meant, by kind of table and place
  thin    the same of tables that a row of cuts or a station was taken out of
  slips   tables with one slip of a pen, and clean ones: found, others accused, clean tables accused

Random hulls of four families (tests/support/closed_round.py), drawn with up to 1 mm of noise, in 0.01 mm, mm and
eighths of an inch. The factors of the band and the thresholds were set on seeds under 1000; judge them on others, and
on families unlike those (`fresh`, tests/support/fresh_round.py), which nothing was set on.
"""

from __future__ import annotations

import sys
import time
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path

import numpy as np

HOME = Path(__file__).parents[2]
sys.path[:0] = [str(HOME), str(HOME / "tests" / "support")]

from closed_round import ClosedRound, double_ender, ellipsoid, hollow, parabolic  # noqa: E402
from fresh_round import drawn_fresh  # noqa: E402

from patterns.geometry.arrays import Floats  # noqa: E402
from patterns.geometry.one_thread import one_thread  # noqa: E402
from patterns.hull.offsets import Offsets  # noqa: E402
from patterns.hull.round.contradictions import contradictions  # noqa: E402
from patterns.hull.round.fair_round import hull_of  # noqa: E402
from patterns.hull.round.figures import RoundLines, figures  # noqa: E402
from patterns.hull.round.fit_skin import SkinFit, fit_skin  # noqa: E402

EIGHTH = 3.175  # mm
STEPS = {"0.01 mm": 0.01, "mm": 1.0, "1/8 in": EIGHTH}
FRESH = "fresh"
CLEAR = 1.0  # mm of the rabbet's side: closer than that a section ends


def drawn(rng: np.random.Generator) -> ClosedRound:
    """A random hull of one of the families."""
    match int(rng.integers(4)):
        case 0:
            return ellipsoid(rng.uniform(2000, 3200), rng.uniform(500, 800), rng.uniform(350, 550))
        case 1:
            return parabolic(rng.uniform(8, 25), rng.uniform(3000, 6000), rng.uniform(900, 1500), rng.uniform(350, 600))
        case 2:
            siding = float(rng.choice([8.0, 12.0, 18.0, 25.0]))
            return hollow(rng.uniform(2, 2.8), rng.uniform(480, 750), siding, rng.uniform(0, 1), rng.uniform(0, 0.25))
        case _:
            return double_ender(rng.uniform(2, 2.8), rng.uniform(380, 560), rng.uniform(8, 20))


def tables(count: int, seed: int, steps: dict[str, float]) -> Iterator[tuple[int, str, ClosedRound, Offsets, float]]:
    for number in range(count):
        rng = np.random.default_rng(seed + number)
        name = list(steps)[number % len(steps)]
        form = (drawn_fresh if FRESH in sys.argv else drawn)(rng)
        noise = 0.0 if steps[name] < 0.1 else float(rng.choice([0.0, 0.5, 1.0]))
        yield number, name, form, form.table(steps[name], noise=noise, rng=rng), noise


def asked_of(form: ClosedRound, table: Offsets) -> RoundLines:
    return RoundLines(table, form.fore, form.aft, max(2 * table.rounding, 0.02), diagonals=form.diagonal_places)


def off_formula(form: ClosedRound, fit: SkinFit, x: float) -> tuple[Floats, Floats, Floats]:
    """v and mm that the skin lies off the formula's section at x, square to it, and the skin's normals (n, 2) there."""
    exact = form.outside(x, 4001)
    first, last = fit.skin.reach(x)
    section = fit.skin.section(x, np.linspace(first, last, 121))
    square = section.normals[:, 1:] / np.hypot(*section.normals[:, 1:].T)[:, None]
    away = exact[None] - section.points[:, None, 1:]
    nearest = (away**2).sum(axis=2).argmin(axis=1)
    off = (away[np.arange(len(nearest)), nearest] * square).sum(axis=1)
    # Past the ends of the formula's section nothing answers to the skin's.
    inner = (nearest > 0) & (nearest < len(exact) - 1)
    return section.v[inner], off[inner], square[inner]


def fits(count: int, seed: int) -> None:
    worst: dict[tuple[str, str], list[float]] = defaultdict(list)
    times: list[float] = []
    for _, name, form, table, _ in tables(count, seed, STEPS):
        began = time.process_time()
        with one_thread():
            fit = fit_skin(asked_of(form, table))
        times.append(time.process_time() - began)
        middle = (form.stations[1:] + form.stations[:-1]) / 2
        for where, places in (("stations", form.stations), ("between", middle)):
            worst[name, where].append(max(float(np.abs(off_formula(form, fit, float(x))[1]).max()) for x in places))
    for (name, where), found in sorted(worst.items()):
        print(
            f"{name:8} {where:9} median {np.median(found):.2f}, "
            f"90 % {np.quantile(found, 0.9):.2f}, worst {max(found):.2f} mm"
        )
    print(f"a fit takes {np.median(times):.2f} s, at most {max(times):.2f} s")


def thinned(table: Offsets, rng: np.random.Generator) -> Offsets:
    """The table without one of its rows of cuts, or without one of its stations but the first and the last."""
    cuts = [row.name for row in (*table.heights, *table.half_breadths) if row.name not in table.lines]
    if rng.integers(2):
        out = cuts[int(rng.integers(len(cuts)))]
        heights, halves = (
            tuple(row for row in rows if row.name != out) for rows in (table.heights, table.half_breadths)
        )
        return replace(table, heights=heights, half_breadths=halves)
    kept = np.arange(len(table.columns)) != int(rng.integers(2, len(table.columns) - 2))
    heights, halves = (
        tuple(replace(row, values=row.values[kept]) for row in rows) for rows in (table.heights, table.half_breadths)
    )
    columns = tuple(np.array(table.columns)[kept].tolist())
    return replace(table, columns=columns, from_fp=table.from_fp[kept], heights=heights, half_breadths=halves)


def bands(count: int, seed: int, *, thin: bool = False) -> None:
    inside: dict[str, list[float]] = defaultdict(list)
    widths: dict[str, list[float]] = defaultdict(list)
    for number, name, form, table, noise in tables(count, seed, STEPS):
        if thin:
            table = thinned(table, np.random.default_rng([seed + number, 2]))
        with one_thread():
            fit = fit_skin(asked_of(form, table))
        hull = hull_of(fit)
        middle = (form.stations[1:] + form.stations[:-1]) / 2
        for where, places in (("stations", form.stations), ("between", middle)):
            for x in places.tolist():
                v, off, square = off_formula(form, fit, x)
                band = hull.band(fit.skin.u_at(x, v), v, square)
                kinds = {name, where, f"{name}, {where}", f"{name}, noise {noise:g}", "all"}
                kinds |= {f"{name}, end" if x in (places[0], places[-1]) else f"{name}, inner"}
                for kind in kinds:
                    inside[kind] += (np.abs(off) <= band).tolist()
                    widths[kind] += (np.abs(off) / band).tolist()
    for kind in sorted(inside):
        needs = np.quantile(widths[kind], 0.95)
        print(f"{kind:24} {np.mean(inside[kind]):6.1%} within the band; 19 of 20 within {needs:.2f} of it")


def slipped(table: Offsets, asked: RoundLines, rng: np.random.Generator) -> tuple[Offsets, tuple[str, str, str], float]:
    """The table with one figure altered as a pen would: a digit lost or changed, figures changed about, a round sum
    out."""
    every = [
        one for one in figures(asked) if not (one.edge and (one.end or (one.line == "keel" and one.view != "height")))
    ]
    while True:
        one = every[int(rng.integers(len(every)))]
        value = round(one.given)
        text, how = str(value), int(rng.integers(4))
        at = int(rng.integers(max(len(text) - (how == 1), 1)))
        match how:
            case 0:
                new = text[:at] + str(rng.integers(10)) + text[at + 1 :]
            case 1:
                new = text[:at] + text[at + 1 : at + 2] + text[at : at + 1] + text[at + 2 :]
            case 2:
                new = str(value + int(rng.choice([-100, -50, -25, -10, 10, 25, 50, 100])))
            case _:
                new = text[:-1]
        if new.isdigit() and abs(int(new) - value) >= 4:
            return _with(table, one.where, float(int(new))), one.where, int(new) - one.given


def _with(table: Offsets, where: tuple[str, str, str], value: float) -> Offsets:
    line, view, column = where
    place = table.columns.index(column)

    def mended(rows):  # type: ignore[no-untyped-def]
        return tuple(
            replace(row, values=np.where(np.arange(len(row.values)) == place, value, row.values))
            if row.name == line
            else row
            for row in rows
        )

    if view == "height":
        return replace(table, heights=mended(table.heights))
    return replace(table, half_breadths=mended(table.half_breadths))


def slips(count: int, seed: int) -> None:
    found: list[bool] = []
    large: list[bool] = []
    others, clean = 0, [0, 0]
    for number, _, form, table, noise in tables(count, seed, {"mm": 1.0}):
        rng = np.random.default_rng([seed + number, 1])
        where, by = None, 0.0
        if number % 3:
            table, where, by = slipped(table, asked_of(form, table), rng)
        asked = asked_of(form, table)
        with one_thread():
            named = [one.place for one in contradictions(asked, fit_skin(asked))]
        if where is None:
            clean[0] += bool(named)
            clean[1] += 1
            if named:
                print(f"{number}: clean, noise {noise}, accused {named}", flush=True)
            continue
        found.append(where in named)
        if abs(by) >= 10:
            large.append(where in named)
        others += any(one != where for one in named)
        if named != [where]:
            print(f"{number}: {where} by {by:.0f}, noise {noise}, named {named}", flush=True)
    print(
        f"found {sum(found)} of {len(found)}; of 10 mm and more {sum(large)} of {len(large)}; "
        f"another accused too {others}"
    )
    print(f"clean tables accused: {clean[0]} of {clean[1]}")


if __name__ == "__main__":
    words = [word for word in sys.argv[1:] if word != FRESH]
    what, count, seed = (words + ["fit", "60", "5000"][len(words) :])[:3]
    {"fit": fits, "band": bands, "thin": partial(bands, thin=True), "slips": slips}[what](int(count), int(seed))
