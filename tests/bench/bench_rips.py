"""Random long pieces, saws and boards, every rip followed as the sheet prints it: no piece may come out short of wood.

    .venv/bin/python tests/bench/bench_rips.py [seed] [how many]

Sizes of the samples' long pieces are changed at random, stringers are added, and each piece is laid on a random board
for a random saw. The kerf is then laid out as a band beside the printed saw line, on both faces, by plain geometry:
whether it stays in the board with the wood to hold beyond it, whether the finished piece lies inside what is sawn out,
by how much the plane must take off at most, and how far the guide bulges. What is found is shown with its seed.
"""

from __future__ import annotations

import random
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import shapely

ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))

from patterns.errors import PatternsError  # noqa: E402
from patterns.parts.long.long_pieces import LongPiece  # noqa: E402
from patterns.parts.whole import loft  # noqa: E402
from patterns.reading.boat.boat_toml import read_boat  # noqa: E402
from patterns.shop.saw.board_layout import edges_as_laid  # noqa: E402
from patterns.shop.saw.long_bench import BenchPiece, bench, bench_cautions  # noqa: E402
from patterns.shop.saw.saw_rules import BenchRules, Board, Leans, SawRules, Side, Sweep  # noqa: E402
from patterns.shop.saw.saw_setup import Rip  # noqa: E402

SAMPLES = ("duckweed", "reedling", "saltmeadow")
LONG = ("chine_log", "inwale", "outwale", "rub_rail", "keel_batten", "keelson", "riser")
WITHIN = 0.15  # mm; a saw line bends so little between two places where the layout holds it against a board
TRUE = 0.1  # mm, to which a sheet followed literally must give the finished section back
MUCH = 25.4 / 4  # mm beyond the allowance
PENCIL = 0.45  # mm a guide may bulge
TURN = np.array([1.0, -1.0])


def main(seed: int, count: int) -> int:
    tally: Counter[str] = Counter()
    faults = 0
    for number in range(seed, seed + count):
        for fault in faults_of(number, tally):
            faults += 1
            print(f"seed {number}: {fault}", flush=True)
    print(f"{count} boats from seed {seed}: {faults} faults; {dict(sorted(tally.items()))}")
    return 1 if faults else 0


def faults_of(seed: int, tally: Counter[str]) -> Iterator[str]:
    chance = random.Random(seed)
    sample = SAMPLES[seed % len(SAMPLES)]
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        (place / "offsets.csv").write_bytes((ROOT / "samples" / sample / "offsets.csv").read_bytes())
        (place / "boat.toml").write_text(variant(sample, chance), encoding="utf-8")
        try:
            read = read_boat(place)
            pieces = loft(read.boat).long_pieces
        except PatternsError as refused:
            tally["boats refused"] += 1
            if "--why" in sys.argv:
                print(seed, refused)
            return
    for piece in pieces:
        if piece.part.hand == "starboard" and chance.random() < 0.7:
            continue
        rules = BenchRules(saw(chance), (), 12.0, chance.choice((0.0, 3.0, 6.35, 20.0)))
        [alone] = bench([piece], rules)
        [made] = bench([piece], BenchRules(rules.saw, (board(alone, chance),), 12.0, rules.holding))
        tally["pieces"] += 1
        for fault in faults_of_piece(made, rules, tally):
            yield f"{sample}, {piece.part.title}: {fault} ({rules.saw})"


def variant(sample: str, chance: random.Random) -> str:
    """boat.toml with random sizes of its long pieces, and one to three stringers more."""
    text = (ROOT / "samples" / sample / "boat.toml").read_text(encoding="utf-8")
    kept: list[str] = []
    table = ""
    for line in text.splitlines():
        table = line.strip("[] ") if line.startswith("[") else table
        key = line.partition("=")[0].strip()
        if table in LONG and key == "planing":
            continue
        if table in LONG and key == "sided":
            line = f'sided = "{chance.uniform(10, 40):.2f} mm"'
        if table in LONG and key == "moulded":
            line = f'moulded = "{chance.uniform(18, 90 if table == "keel_batten" else 60):.2f} mm"'
        kept.append(line)
        if line.startswith("[") and table in LONG:
            kept.append(f'planing = "{chance.choice((0.0, 0.8, 1.6, 3.0)):.1f} mm"')
    for number in range(chance.randrange(1, 4)):
        where = chance.choice(("below_sheer", "from_center"))
        kept += [
            "[[stringer]]",
            f'name = "stringer {"abc"[number]}"',
            f'sided = "{chance.uniform(10, 30):.2f} mm"',
            f'moulded = "{chance.uniform(20, 50):.2f} mm"',
            f'{where} = "{chance.uniform(90, 220):.1f} mm"',
        ]
    return "\n".join(kept) + "\n"


def saw(chance: random.Random) -> SawRules:
    kerf = chance.uniform(0.8, 4.5)
    tilts = sorted({0.0, *(float(chance.randrange(1, 91)) / 2 for _ in range(chance.randrange(0, 4)))})
    start = chance.uniform(20, 150)
    guide = tuple((float(np.radians(tilt)), start - tilt * chance.uniform(0.0, 0.6)) for tilt in tilts)
    return SawRules(
        kerf=kerf,
        plate=kerf * chance.uniform(0.4, 0.95),
        blade_diameter=chance.uniform(85, 415),
        shoe_length=chance.uniform(150, 500),
        guide=guide if chance.random() < 0.9 else (),
        leans=chance.choice(tuple(Leans)),
        tilts_to=float(np.radians(chance.uniform(0, 60))),
        deepest=None,
        pins=chance.uniform(60, 150) if chance.random() < 0.2 else None,
        guide_edge=chance.choice((None, Side.LEFT, Side.RIGHT)),
    )


def board(alone: BenchPiece, chance: random.Random) -> Board:
    """A board from a little too small to more than enough, straight or bent, with or without wane."""
    least = alone.least
    avoid = (chance.uniform(0, 15), chance.uniform(0, 15)) if chance.random() < 0.3 else (0.0, 0.0)
    return Board(
        least.length + chance.uniform(-20, 400),
        least.width + sum(avoid) + chance.uniform(-3, 60),
        alone.piece.thickness,
        1,
        alone.piece.rules.material,
        Sweep(chance.uniform(0, 60), 4000.0) if chance.random() < 0.4 else None,
        avoid=avoid,
    )


# --- The rip, by plain geometry ---


def faults_of_piece(made: BenchPiece, rules: BenchRules, tally: Counter[str]) -> Iterator[str]:
    assert made.setup is not None
    assert rules.saw is not None
    pieces = ([made.piece.name, rip] for rip in made.setup.rips)
    told = {where for where, text in bench_cautions([made], "mm") if "much wood" in text}
    for name, rip in pieces:
        left = wood_to_plane(made.piece, rip)
        yield from _faults_of_left(
            made, rip, left, told, hand=made.piece.part.hand, where=f"saw, {name}, {rip.edge.name} edge"
        )
        tally["rips"] += 1
        tally["much wood"] += rip.much
    yield from _faults_of_guides(made, rules.saw)
    if made.place is None:
        tally["no place"] += 1
        if not made.refused and not made.scarfs:
            yield "neither a place nor a reason"
        return
    tally["placed"] += 1
    clear = wood_beyond(made, rules.saw)
    if clear < rules.holding - WITHIN:
        yield f"only {clear:.2f} mm to hold beyond the kerf, {rules.holding:.2f} promised"


def _faults_of_left(
    made: BenchPiece, rip: Rip, left: tuple[float, float], told: set[str], *, hand: str, where: str
) -> Iterator[str]:
    least, most = left
    allowed = made.piece.rules.planing
    if least < allowed - TRUE:
        yield f"{rip.edge.name} edge: {least:.2f} mm left beyond the finished edge, {allowed:.2f} promised"
    # Told to the end of the face it is marked on; measured where the wood has both faces, a little short of it.
    if not -0.1 < rip.setting.extra - (most - allowed) < 1.0:
        yield f"{rip.edge.name} edge: {most - allowed:.2f} mm beyond the allowance, {rip.setting.extra:.2f} told"
    if (
        hand != "starboard"
        and not MUCH - 1.0 < most - allowed < MUCH + 0.1
        and (where in told) != (most - allowed > MUCH)
    ):
        yield f"{rip.edge.name} edge: {most - allowed:.2f} mm beyond the allowance, and much wood told: {where in told}"


def wood_to_plane(piece: LongPiece, rip: Rip) -> tuple[float, float]:
    """mm from the finished edge to the sawn face, square to it, at either face of the wood: the least and the most."""
    edge = next(edge for edge in piece.part.edges if edge.name == rip.edge.name)
    over = TURN if "away" in rip.edge.up else np.ones(2)
    faces = [edge.points * over, edge.far * over]
    up, down = faces[::-1] if "away" in rip.edge.up else faces
    x = np.linspace(rip.edge.within[0], rip.edge.within[1], 401)
    net_up, net_down = (at_x(face, x) for face in (up, down))
    outward = rip.edge.out
    slope = np.gradient(net_up, x)
    square = 1 / np.hypot(1.0, slope)
    run = (net_down - net_up) * outward * square
    cos = 1 / np.hypot(1.0, run / piece.thickness)
    own = rip.setting
    every = [
        outward * (at_x(sawn, x) - net) * square * cos
        for sawn, net in ((own.saw_line, net_up), (own.foot_line, net_down))
    ]
    # Past the end of the shorter face the wood is cut off: there nothing is planed.
    inside = (x > max(face[:, 0].min() for face in faces)) & (x < min(face[:, 0].max() for face in faces))
    values = np.concatenate([one[inside] for one in every])
    return float(values.min()), float(values.max())


def at_x(line: np.ndarray, x: np.ndarray) -> np.ndarray:
    order = np.argsort(line[:, 0])
    return np.interp(x, line[order, 0], line[order, 1])


def wood_beyond(made: BenchPiece, saw: SawRules) -> float:
    """mm of sound board left beyond both kerfs' bands at both faces, the least; less than nothing off the board."""
    assert made.place is not None
    assert made.setup is not None
    low, high = edges_as_laid(made.place)
    first, last = made.place.board.avoid
    below, above = (last, first) if made.place.turned_over else (first, last)
    low, high = low + np.array([0.0, below]), high - np.array([0.0, above])
    wood = shapely.Polygon(np.concatenate([low, high[::-1]]))
    edges = shapely.MultiLineString([low, high])
    least = np.inf
    for rip in made.setup.rips:
        own = rip.setting
        over = TURN if "away" in rip.edge.up else np.ones(2)
        wide = saw.kerf / np.cos(own.tilt)
        for line in (own.saw_line, own.foot_line):
            band = shapely.LineString(line).offset_curve(wide * rip.edge.out)
            points = shapely.get_coordinates(band.segmentize(25.0)) * over
            points = points[(points[:, 0] >= made.takes.x[0]) & (points[:, 0] <= made.takes.x[-1])]
            laid = made.place.laid(points)
            away = shapely.distance(edges, shapely.points(laid))
            least = min(least, float(np.where(shapely.contains_xy(wood, laid), away, -away).min()))
    return least


def _faults_of_guides(made: BenchPiece, saw: SawRules) -> Iterator[str]:
    """The guides of the two rips bulge no more than a pencil line, unless those of the other order would as well."""
    assert made.setup is not None
    if saw.pins:
        return
    own, other = [], []
    for rip in made.setup.rips:
        s = rip.setting
        cut = shapely.LineString(s.saw_line)
        guide = cut if s.guide_line is None else shapely.LineString(s.guide_line)
        own.append(bulge(guide, saw.shoe_length, rip.guide_side))
        other.append(bulge(cut.offset_curve(-(s.distance or 0.01) * rip.guide_side), saw.shoe_length, -rip.guide_side))
        if abs(max(own[-1], 0.0) - s.rocks) > 0.1:
            yield f"{rip.edge.name} edge: its guide bulges {own[-1]:.2f} mm, and {s.rocks:.2f} is told"
    if max(own) > max(PENCIL, max(other) + 0.45):
        yield f"guides bulge by {own}; sawn in the other order by {other}"


def bulge(guide: shapely.LineString, shoe: float, side: float) -> float:
    """mm by which a guide stands out over the chord of a shoe laid along it, toward the cut, that lies at -side."""
    middles = np.arange(shoe / 2, guide.length - shoe / 2, 20.0)
    back, at, on = (
        shapely.get_coordinates(shapely.line_interpolate_point(guide, middles + s)) for s in (-shoe / 2, 0.0, shoe / 2)
    )
    way = on - back
    way /= np.hypot(*way.T)[:, None]
    sign = np.where(way[:, 0] > 0, 1.0, -1.0)
    up = np.stack([-way[:, 1], way[:, 0]], axis=1) * sign[:, None]
    return float((((at - back) * up).sum(axis=1) * -side).max())


if __name__ == "__main__":
    numbers = [int(word) for word in sys.argv[1:] if word.lstrip("-").isdigit()]
    sys.exit(main(*(numbers + [1, 30][len(numbers) :])[:2]))
