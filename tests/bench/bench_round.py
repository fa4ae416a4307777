"""How round hulls are fitted, banded and doubted. A plain script.

    python tests/bench/bench_round.py WHAT [hulls] [seed] [fresh | judge]

WHAT is one of
  fit     worst distance of every station's section, and midway between, from the formula; how long a fit takes
  band    share of places of the skin that lie within the band, 19 of 20 being meant, by kind of table and place
  thin    the same of tables that a row of cuts or a station was taken out of
  few     the same of tables with two or three rows of cuts
  slips   tables with one slip of a pen, and clean ones: found, others accused, clean tables accused

Random hulls, drawn with up to 1 mm of noise, in 0.01 mm, mm and eighths of an inch: of the four families of
tests/support/closed_round.py; `fresh`, of the four of fresh_round.py; `judge`, of those of judge_round.py. The band's
constants were set on seeds under 1000 of the first eight; the thresholds of doubts on such seeds of the first four.
Nothing of the band was set on the judges. Draw seeds of 1000 and more to judge by.

Of the band each hull's is told too: the middle of its widths beside the 95 % quantile of the hull's true error, which
is what it should be. Where a hull is 1, the band is as wide as that hull needs.
"""

from __future__ import annotations

import sys
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

import numpy as np

HOME = Path(__file__).parents[2]
sys.path[:0] = [str(HOME), str(HOME / "tests" / "support")]

from closed_round import ClosedRound, double_ender, ellipsoid, hollow, parabolic  # noqa: E402
from fresh_round import FRESH  # noqa: E402
from judge_round import JUDGES  # noqa: E402

from patterns.geometry.arrays import Floats  # noqa: E402
from patterns.geometry.one_thread import one_thread  # noqa: E402
from patterns.hull.offsets import Offsets  # noqa: E402
from patterns.hull.round.contradictions import contradictions  # noqa: E402
from patterns.hull.round.fair_round import hull_of  # noqa: E402
from patterns.hull.round.figures import RoundLines, figures  # noqa: E402
from patterns.hull.round.fit_skin import SkinFit, fit_skin  # noqa: E402

EIGHTH = 3.175  # mm
STEPS = {"0.01 mm": 0.01, "mm": 1.0, "1/8 in": EIGHTH}
CLEAR = 1.0  # mm of the rabbet's side: closer than that a section ends


def _double_ender(rng: np.random.Generator) -> ClosedRound:
    return double_ender(rng.uniform(2, 2.8), rng.uniform(380, 560), rng.uniform(8, 20))


def _ellipsoid(rng: np.random.Generator) -> ClosedRound:
    return ellipsoid(rng.uniform(2000, 3200), rng.uniform(500, 800), rng.uniform(350, 550))


def _hollow(rng: np.random.Generator) -> ClosedRound:
    siding = float(rng.choice([8.0, 12.0, 18.0, 25.0]))
    return hollow(rng.uniform(2, 2.8), rng.uniform(480, 750), siding, rng.uniform(0, 1), rng.uniform(0, 0.25))


def _parabolic(rng: np.random.Generator) -> ClosedRound:
    return parabolic(rng.uniform(8, 25), rng.uniform(3000, 6000), rng.uniform(900, 1500), rng.uniform(350, 600))


CLOSED = {"ellipsoid": _ellipsoid, "parabolic": _parabolic, "hollow": _hollow, "double ender": _double_ender}
SETS = {"closed": CLOSED, "fresh": FRESH, "judge": JUDGES}


def families() -> dict[str, Callable[[np.random.Generator], ClosedRound]]:
    return next((SETS[word] for word in sys.argv[1:] if word in SETS), CLOSED)


@dataclass(frozen=True)
class Drawn:
    """A random hull and its table."""

    number: int
    step: str  # of STEPS
    family: str
    form: ClosedRound
    table: Offsets
    noise: float  # mm


def tables(count: int, seed: int, steps: dict[str, float]) -> Iterator[Drawn]:
    for number in range(count):
        rng = np.random.default_rng(seed + number)
        name = list(steps)[number % len(steps)]
        family = list(families())[int(rng.integers(len(families())))]
        form = families()[family](rng)
        noise = 0.0 if steps[name] < 0.1 else float(rng.choice([0.0, 0.5, 1.0]))
        yield Drawn(number, name, family, form, form.table(steps[name], noise=noise, rng=rng), noise)


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
    for one in tables(count, seed, STEPS):
        name, form, table = one.step, one.form, one.table
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


def few(table: Offsets, rng: np.random.Generator) -> Offsets:
    """The table with two or three of its rows of cuts."""
    cuts = [row.name for row in (*table.heights, *table.half_breadths) if row.name not in table.lines]
    kept = {*table.lines, *rng.permutation(cuts)[: int(rng.integers(2, 4))].tolist()}
    heights, halves = (tuple(row for row in rows if row.name in kept) for rows in (table.heights, table.half_breadths))
    return replace(table, heights=heights, half_breadths=halves)


def bands(count: int, seed: int, less: Callable[[Offsets, np.random.Generator], Offsets] | None = None) -> None:
    needs: dict[str, list[float]] = defaultdict(list)
    hulls: dict[str, list[tuple[float, float]]] = defaultdict(list)
    for one in tables(count, seed, STEPS):
        form, table = one.form, one.table
        if less is not None:
            table = less(table, np.random.default_rng([seed + one.number, 2]))
        with one_thread():
            fit = fit_skin(asked_of(form, table))
        hull = hull_of(fit)
        middle = (form.stations[1:] + form.stations[:-1]) / 2
        widths: list[float] = []
        errors: list[float] = []
        for where, places in (("stations", form.stations), ("between", middle)):
            for x in places.tolist():
                v, off, square = off_formula(form, fit, x)
                band = hull.band(fit.skin.u_at(x, v), v, square)
                widths += band.tolist()
                errors += np.abs(off).tolist()
                kinds = {one.step, where, f"{one.step}, {where}", f"{one.step}, noise {one.noise:g}", "all"}
                kinds |= {f"{one.step}, end" if x in (places[0], places[-1]) else f"{one.step}, inner", one.family}
                for kind in kinds:
                    needs[kind] += (np.abs(off) / band).tolist()
        wide, error = float(np.median(widths)), float(np.quantile(errors, 0.95))
        held = float(np.mean(np.array(errors) <= widths))
        for kind in (one.step, one.family, "all"):
            hulls[kind].append((held, wide / error))
        print(
            f"{one.number:3} {one.family:12} {one.step:8} noise {one.noise:g}: {held:6.1%} within; the band is "
            f"{wide:.2f} mm, at most {max(widths):.2f}; 95 % of errors {error:.2f}, at most {max(errors):.2f}",
            flush=True,
        )
    print()
    for kind, found in sorted(needs.items()):
        share = np.mean(np.array(found) <= 1)
        print(f"{kind:24} {share:6.1%} within the band; 19 of 20 within {np.quantile(found, 0.95):.2f} of it")
    print()
    for kind, each in sorted(hulls.items()):
        shares, widest = np.array(each).T
        print(
            f"{kind:24} {len(each)} hulls, the worst {shares.min():.1%}; the band is {np.median(widest):.1f} times "
            f"what is needed in the middle, {widest.min():.1f} to {widest.max():.1f}"
        )


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
    for one in tables(count, seed, {"mm": 1.0}):
        number, form, table, noise = one.number, one.form, one.table, one.noise
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
    words = [word for word in sys.argv[1:] if word not in SETS]
    what, count, seed = (words + ["fit", "60", "5000"][len(words) :])[:3]
    {"fit": fits, "band": bands, "thin": partial(bands, less=thinned), "few": partial(bands, less=few), "slips": slips}[
        what
    ](int(count), int(seed))
