"""Wood beside every cut: a kerf stays in its board, wood to hold is left beyond it, and the least board is enough."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from sample_jobs import SAMPLES, sample

from patterns.parts.long.long_pieces import LongPiece
from patterns.plates.words.bench_words import no_less
from patterns.plates.words.board_words import board_words
from patterns.reading.boat.boat_toml import read_boat
from patterns.shop.saw.board_layout import BETWEEN, BoardPlace, Span, edges_as_laid, halves
from patterns.shop.saw.edge_views import FAR, OVERTURNED
from patterns.shop.saw.envelopes import Envelope
from patterns.shop.saw.long_bench import BenchPiece, bench, bench_cautions
from patterns.shop.saw.saw_rules import HOLDING, BenchRules, Board, SawRules, Sweep
from patterns.units.lengths import read_length

SHOW = "ft-in-16ths"
WITHIN = 0.15  # mm; a saw line bends so little between two places where the layout holds it against a board


def _saw() -> SawRules:
    saw = sample("saltmeadow")[0].bench.saw
    assert saw is not None
    return saw


def _pieces() -> list[LongPiece]:
    return [piece for name in SAMPLES for piece in sample(name)[1].long_pieces]


def _given(made: BenchPiece, *, width: float) -> Board:
    """A board of the least sizes as the sheet prints them, read back as a builder writes them."""
    least, material = made.least, made.piece.rules.material
    length, across, thick = (read_length(no_less(mm, SHOW), "in").mm for mm in (least.length, width, least.thickness))
    return Board(length, across, thick, 1, material)


def _clear(made: BenchPiece, place: BoardPlace) -> float:
    """mm of board left beyond the kerfs of both rips, the least anywhere along the stock."""
    assert made.setup is not None
    low, high = edges_as_laid(place)
    board = shapely.Polygon(np.concatenate([low, high[::-1]]))
    left = []
    for rip in made.setup.rips:
        own, over = rip.setting, OVERTURNED if rip.edge.up == FAR else np.ones(2)
        for line in (own.saw_line, own.foot_line):
            kept = line[(line[:, 0] >= made.takes.x[0]) & (line[:, 0] <= made.takes.x[-1])]
            way = np.gradient(kept, axis=0)
            square = rip.edge.out * np.column_stack([-way[:, 1], way[:, 0]]) / np.hypot(*way.T)[:, None]
            outside = place.laid((kept + made.setup.saw.kerf / np.cos(own.tilt) * square) * over)
            inside = shapely.contains_xy(board, outside)
            # Ends of the stock may lie on the board's own: only its long edges count.
            edges = shapely.MultiLineString([low, high])
            away = np.array([edges.distance(shapely.Point(point)) for point in outside])
            left.append(float(np.where(inside, away, -away).min()))
    return min(left)


@pytest.mark.slow
@pytest.mark.parametrize("number", range(12))
def test_a_board_of_the_least_sizes_as_printed_is_one_that_will_do(number: int) -> None:
    random = np.random.default_rng(number)
    pieces = _pieces()
    piece = pieces[int(random.integers(len(pieces)))]
    saw = replace(_saw(), kerf=float(random.uniform(1.3, 4.0)))
    rules = BenchRules(saw, (), 12.0, float(random.uniform(0.0, 20.0)))
    [alone] = bench([piece], rules)
    [found] = bench([piece], replace(rules, boards=(_given(alone, width=alone.least.width),)))
    assert found.place is not None, piece.part.title
    assert _clear(found, found.place) >= rules.holding - WITHIN


@pytest.mark.parametrize("name", SAMPLES)
def test_both_hands_come_out_of_the_least_board_for_both(name: str) -> None:
    long = sample(name)[1].long_pieces
    pair = [piece for piece in long if piece.part.hand != "none"][:2]
    rules = BenchRules(_saw(), (), 12.0)
    first, _ = bench(pair, rules)
    port, starboard = bench(pair, replace(rules, boards=(_given(first, width=first.least.pair_width),)))
    assert port.place is not None
    assert starboard.with_other is not None or starboard.place is not None
    assert not port.refused
    assert not starboard.refused


@pytest.mark.parametrize("seed", range(8))
def test_no_kerf_leaves_its_board_and_wood_to_hold_is_left_beyond_it(seed: int) -> None:
    random = np.random.default_rng(100 + seed)
    pieces = _pieces()
    piece = pieces[int(random.integers(len(pieces)))]
    sweep = Sweep(float(random.uniform(0, 60)), 4000.0) if random.random() < 0.7 else None
    saw = replace(_saw(), kerf=float(random.uniform(1.3, 4.0)))
    [alone] = bench([piece], BenchRules(saw, (), 12.0))
    size = alone.least.length + float(random.uniform(0, 300)), alone.least.width + float(random.uniform(0, 60))
    board = Board(*size, piece.thickness, 1, piece.rules.material, sweep)
    [made] = bench([piece], BenchRules(saw, (board,), 12.0))
    if made.place is None:
        assert made.refused
        return
    assert _clear(made, made.place) >= HOLDING - WITHIN
    first, last = made.place.taken
    assert first >= -WITHIN
    assert last <= board.length + WITHIN


def test_a_board_too_narrow_for_its_kerfs_alone_is_refused() -> None:
    piece = sample("saltmeadow")[1].long_pieces[0]
    [alone] = bench([piece], BenchRules(_saw(), (), 12.0))
    least = alone.least
    board = Board(least.length, least.width - 2.0, least.thickness, 1, piece.rules.material)
    [made] = bench([piece], BenchRules(_saw(), (board,), 12.0))
    assert made.place is None
    said = " ".join(board_words([made], SHOW))
    assert 'holds the piece and its kerfs, but leaves 3/16" beside each cut to hold it by' in said
    assert "sapwood" not in said
    [(where, told)] = [one for one in bench_cautions([made], SHOW) if "boards" in one[0]]
    assert where == "[stock] boards, board 1"
    assert 'chine log leaves 3/16" of it beside each cut, and 1/4" is needed to hold it by ([stock] holding)' in told
    [bare] = bench([piece], BenchRules(_saw(), (replace(board, width=least.bare - 2.0),), 12.0))
    assert "too narrow" in " ".join(board_words([bare], SHOW))
    assert "wood to hold beyond each" in said


def test_the_wood_to_hold_is_a_key_of_the_stock(tmp_path: Path) -> None:
    folder = Path(__file__).parents[2] / "samples" / "saltmeadow"
    text = (folder / "boat.toml").read_text(encoding="utf-8")
    (tmp_path / "offsets.csv").write_bytes((folder / "offsets.csv").read_bytes())
    (tmp_path / "boat.toml").write_text(text.replace("[stock]\n", '[stock]\nholding = "1/2 in"\n'), encoding="utf-8")
    assert read_boat(tmp_path).bench.holding == pytest.approx(12.7)
    assert read_boat(folder).bench.holding == pytest.approx(6.35)


def test_the_other_hands_kerf_and_holding_wood_lie_on_its_other_sides() -> None:
    """Port and starboard are mirror images in all they take of a board, where one side takes more than the other."""
    x = np.linspace(0.0, 1000.0, 5)
    one = Envelope(x, low=x * 0 - 20.0, high=x * 0 + 30.0, below=x * 0 + 4.0, above=x * 0 + 9.0, holding=2.0)
    low, high = one.of_other_hand().outer
    assert low == pytest.approx(-39.0)
    assert high == pytest.approx(24.0)


def test_a_board_sawn_in_two_loses_a_kerf_and_room_for_a_saw_that_wanders_between_its_halves() -> None:
    board = Board(4000.0, 200.0, 40.0, 1, "oak")
    fore, aft = halves(Span(board, 1, 1, 100.0, 3900.0), kerf=3.2)
    assert (fore.first, aft.last) == (100.0, 3900.0)
    assert aft.first - fore.last == pytest.approx(3.2 + BETWEEN)
    assert fore.length == pytest.approx(aft.length)
