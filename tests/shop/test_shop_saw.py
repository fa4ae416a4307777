"""Saw set-ups followed literally: a saw run along the printed guide must leave the net piece and the plane's share."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import shapely
from sample_jobs import SAMPLES, sample
from shapely import LineString, Point

from patterns.geometry.arrays import Floats
from patterns.parts.long.long_pieces import LongPiece
from patterns.parts.whole import loft
from patterns.plates.words.bench_words import note_words, step_words
from patterns.reading.boat.boat_toml import read_boat
from patterns.shop.saw.guide import blade_fit, sags, shoe_to_cut, stand_off
from patterns.shop.saw.long_bench import bench, bench_cautions, much_words, short_words
from patterns.shop.saw.saw_rules import BenchRules, Leans, SawRules, Side
from patterns.shop.saw.saw_setup import Rip, SawSetup, Setting, eased, saw_setup

SALTMEADOW = Path(__file__).parents[2] / "samples" / "saltmeadow"
TRUE = 0.1  # mm, to which a sheet followed literally must give the net section back


@cache
def _boat() -> tuple[tuple[LongPiece, ...], SawRules]:
    read = read_boat(SALTMEADOW)
    assert read.bench.saw is not None
    return loft(read.boat).long_pieces, read.bench.saw


def _piece(title: str) -> LongPiece:
    return next(piece for piece in _boat()[0] if piece.part.title == title)


def _saw(**other: object) -> SawRules:
    return replace(_boat()[1], **other)  # type: ignore[arg-type]


def _arc(radius: float, *, length: float = 3000.0, points: int = 3001) -> Floats:
    """An arc that turns left, begun along x."""
    turn = np.linspace(0, length / radius, points)
    return np.column_stack([radius * np.sin(turn), radius * (1 - np.cos(turn))])


# --- The saw, simulated: nothing of the program's own geometry is used from here to the tests ---


def _shoe_runs(guide: Floats, to_cut: float, shoe: float, *, cut_left: bool, pins: bool) -> Floats:
    """Where the near side of the kerf comes, abreast of the middle of a straight edge pushed along a guide.

    Two pins lie on the guide. A bare edge is pressed on abreast of the blade: it settles on that side of the guide's
    hull which bridges the blade.
    """
    line = LineString(guide)
    found = []
    for middle in np.arange(shoe / 2, line.length - shoe / 2, 20.0):
        at = np.linspace(middle - shoe / 2, middle + shoe / 2, 41)
        near = shapely.get_coordinates(shapely.line_interpolate_point(line, at))
        a, b = (near[0], near[-1]) if pins else _bridge(near, cut_left=cut_left)
        way = (b - a) / np.hypot(*(b - a))
        square = np.array([-way[1], way[0]]) * (1 if cut_left else -1)
        blade = a + ((near[20] - a) @ way) * way
        found.append(blade + to_cut * square)
    return np.array(found)


def _bridge(near: Floats, *, cut_left: bool) -> tuple[Floats, Floats]:
    """The side of the hull of points along a guide, toward the cut, that lies over their middle."""
    side = 1e4 if cut_left else -1e4
    hull = shapely.get_coordinates(shapely.MultiPoint([*near, near[0] - (0, side), near[-1] - (0, side)]).convex_hull)
    x = near[20, 0]
    bridges = [
        (a, b) if a[0] < b[0] else (b, a)
        for a, b in pairwise(hull)
        if min(a[0], b[0]) <= x <= max(a[0], b[0]) and abs(a[1] - b[1]) < 1e3 and abs(a[1] - near[20, 1]) < 1e3
    ]
    return bridges[0]


def _sawn(rip: Rip, setting: Setting, saw: SawRules, thickness: float) -> tuple[Floats, Floats]:
    """The piece's side of the kerf on the upper and on the lower face, as a saw leaves it."""
    assert setting.guide_line is not None
    tilts, distances = np.array(saw.guide).T
    to_cut = float(np.interp(setting.tilt, tilts, distances))
    # Does the cut lie to the left of the guide, going aft?
    middle = len(setting.guide_line) // 2
    cut_left = bool(setting.saw_line[middle, 1] > setting.guide_line[middle, 1])
    up = _shoe_runs(setting.guide_line, to_cut, saw.pins or saw.shoe_length, cut_left=cut_left, pins=bool(saw.pins))
    way = np.gradient(up, axis=0)
    from_guide = np.column_stack([-way[:, 1], way[:, 0]]) / np.hypot(*way.T)[:, None] * (1 if cut_left else -1)
    far_side = saw.kerf / np.cos(setting.tilt)
    wood_beyond = (rip.edge.out < 0) == cut_left  # the piece lies on the other side of the kerf from the guide
    up = up + from_guide * (far_side if wood_beyond else 0.0)
    lean = -1 if saw.leans is Leans.UNDER else 1
    return up, up + lean * from_guide * thickness * np.tan(setting.tilt)


def _net_lines(piece: LongPiece, rip: Rip) -> tuple[LineString, LineString]:
    edge = next(edge for edge in piece.part.edges if edge.name == rip.edge.name)
    over = (1.0, -1.0) if "away" in rip.edge.up else (1.0, 1.0)
    near, far = LineString(edge.points * over), LineString(edge.far * over)
    return (far, near) if "away" in rip.edge.up else (near, far)


def _outside(line: Floats, net: LineString, rip: Rip, *, to_end: float = 60.0) -> Floats:
    """(k, 2): x, and how far a sawn line lies outside a net one, square across, clear of the finished line's ends."""
    x = np.array(net.coords)[:, 0]
    kept = line[(line[:, 0] > x.min() + to_end) & (line[:, 0] < x.max() - to_end)]
    found = []
    for point in kept:
        foot = net.interpolate(net.project(Point(point)))
        found.append((point[0], net.distance(Point(point)) * np.sign((point[1] - foot.y) * rip.edge.out)))
    return np.array(found)


CASES = [
    ("chine log, port", {}),
    ("chine log, starboard", {}),
    ("chine log, starboard", {"leans": Leans.AWAY}),
    ("chine log, port", {"pins": 200.0}),
    ("inwale, port", {}),
    ("rub rail, starboard", {}),
    ("keel batten", {}),
]


@pytest.mark.slow
@pytest.mark.parametrize(("title", "other"), CASES)
def test_a_sheet_followed_literally_leaves_the_net_piece_and_the_planes_share(title: str, other: dict) -> None:
    piece, saw = _piece(title), _saw(**other)
    for rip in saw_setup(piece, saw).rips:
        s = rip.setting
        up_sawn, down_sawn = _sawn(rip, s, saw, piece.thickness)
        up_net, down_net = _net_lines(piece, rip)
        for sawn, net, planed in ((up_sawn, up_net, s.plane_up), (down_sawn, down_net, s.plane_down)):
            x, outside = _outside(sawn, net, rip).T
            bevel = np.arctan(np.interp(x, rip.edge.net[:, 0], rip.edge.run) / piece.thickness)
            planed_off = np.interp(x, s.saw_line[:, 0], planed)
            # Square to the finished edge, what the sheet says is planed off leaves the finished line.
            assert outside * np.cos(bevel) == pytest.approx(planed_off, abs=TRUE)
            assert (outside * np.cos(bevel) > piece.rules.planing - TRUE).all()


@pytest.mark.slow
@pytest.mark.parametrize(("title", "other"), CASES[:4])
def test_least_is_left_at_one_corner_of_every_section(title: str, other: dict) -> None:
    """A setting that left more than its tilt asks for would turn lumber to dust."""
    piece, saw = _piece(title), _saw(**other)
    for rip in saw_setup(piece, saw).rips:
        kept = rip.edge.of_piece
        least = np.minimum(rip.setting.plane_up, rip.setting.plane_down)[kept]
        assert least.min() == pytest.approx(piece.rules.planing, abs=0.02)
        # Easing the saw line into a curve a batten takes costs little.
        assert least.max() < piece.rules.planing + 0.8


def test_square_edges_are_sawn_at_finished_size_and_the_planes_share() -> None:
    """2 1/2 in finished from 2 5/8 in sawn with 1/16 in on either edge; on one sawn edge, from 2 9/16 in (common
    practice)."""
    piece = _piece("inwale, port")
    assert saw_setup(piece, _saw()).width == pytest.approx(piece.width + 2 * piece.rules.planing, abs=0.01)


def test_the_tilt_chosen_leaves_the_least_wood_of_all_that_can_be_set() -> None:
    piece = _piece("chine log, port")
    [lower] = [rip for rip in saw_setup(piece, _saw()).rips if rip.edge.name == "lower"]
    runs = lower.edge.run[lower.edge.of_piece]
    waste = {tilt: np.abs(runs - piece.thickness * np.tan(np.radians(tilt))).sum() for tilt in np.arange(0, 15.1, 0.5)}
    assert np.degrees(lower.setting.tilt) == pytest.approx(min(waste, key=lambda tilt: waste[tilt]), abs=0.01)


def test_a_tilt_past_the_test_cuts_is_not_carried_on_to() -> None:
    saw = _saw(guide=_boat()[1].guide[:-1])
    [upper] = [rip for rip in saw_setup(_piece("chine log, port"), saw).rips if rip.edge.name == "upper"]
    assert upper.short
    assert np.degrees(upper.wanted) == pytest.approx(18.5, abs=0.51)
    assert np.degrees(upper.setting.tilt) == pytest.approx(15.0)
    with pytest.raises(ValueError, match="outside the test cuts"):
        shoe_to_cut(saw, np.radians(18.5))
    # A test cut is one cure, a saw that tilts further another: each is told where it helps.
    assert "your steepest test cut is at 15.0°. Make a test cut at 18.5° or more" in short_words(upper, saw)
    stiff = _saw(tilts_to=float(np.radians(12.0)))
    [rip] = [rip for rip in saw_setup(_piece("chine log, port"), stiff).rips if rip.edge.name == "upper"]
    assert "but your saw tilts to 12.0°. Set up at 12.0° and plane the rest" in short_words(rip, stiff)


def test_the_samples_own_saw_reaches_the_tilts_it_is_set_to() -> None:
    for piece in _boat()[0]:
        assert not any(rip.short for rip in saw_setup(piece, _boat()[1]).rips), piece.name


def test_more_settings_than_one_leave_less_where_a_bevel_winds() -> None:
    tested = (*_boat()[1].guide, (float(np.radians(30.0)), 128.0))
    [lower] = [r for r in saw_setup(_piece("chine log, port"), _saw(guide=tested)).rips if r.edge.name == "lower"]
    assert len(lower.ranges) > 1
    assert [one.first for one in lower.ranges[1:]] == pytest.approx([one.last + 10 for one in lower.ranges[:-1]], abs=1)

    def worst(setting: Setting) -> float:
        x = lower.edge.net[:, 0]
        kept = lower.edge.of_piece & (x >= setting.first) & (x <= setting.last)
        return float(np.maximum(setting.plane_up, setting.plane_down)[kept].max())

    assert max(map(worst, lower.ranges)) < worst(lower.setting)


# --- Hands ---


@pytest.mark.parametrize("name", ["chine log", "inwale", "outwale", "rub rail"])
def test_port_and_starboard_set_ups_are_mirror_images(name: str) -> None:
    saw = _saw(guide_edge=Side.LEFT)
    port, starboard = (saw_setup(_piece(f"{name}, {hand}"), saw) for hand in ("port", "starboard"))
    for one, other in zip(port.rips, starboard.rips, strict=True):
        assert (one.edge.name, one.edge.up, one.order) == (other.edge.name, other.edge.up, other.order)
        assert one.guide_side == -other.guide_side
        assert one.toward_aft is not other.toward_aft
        for line in ("saw_line", "foot_line", "guide_line"):
            a, b = getattr(one.setting, line), getattr(other.setting, line) * (1, -1)
            assert a - a[0] == pytest.approx(b - b[0], abs=1e-6)


@pytest.mark.parametrize("title", ["chine log, port", "chine log, starboard", "outwale, port", "rub rail, starboard"])
def test_a_piece_sawn_to_its_sheet_is_of_the_hand_the_sheet_names(title: str) -> None:
    """Looked down on, bow to the left, the upper edge lies where the boat's own axes put it: swapped hands fail."""
    piece = _piece(title)
    place = piece.places[len(piece.places) // 2]
    hand = 1.0 if place.at[1] > 0 else -1.0
    assert ("starboard" in title) == (hand > 0)
    toward_reader = place.out if piece.inside else -place.out
    upward = np.cross(toward_reader, place.aft)  # the sheet's y: its x runs aft
    for rip in saw_setup(piece, _saw()).rips:
        flipped = -1.0 if "away" in rip.edge.up else 1.0
        upper_is_above = float(np.sign(upward @ place.up)) * flipped
        assert rip.edge.out == (upper_is_above if rip.edge.name == "upper" else -upper_is_above)


def test_the_shoe_bears_on_the_wide_rest_of_the_board_and_the_piece_comes_free_last() -> None:
    for title in ("chine log, port", "inwale, starboard"):
        first, last = saw_setup(_piece(title), _saw()).rips
        assert (first.order, first.guide_on_piece) == (1, True)
        assert (last.order, last.guide_on_piece) == (2, False)
        assert first.guide_side == last.guide_side or first.edge.up != last.edge.up


def _bulge(guide: LineString, cut: LineString, shoe: float) -> float:
    """mm by which a guide stands out over the chord of a shoe laid along it, toward the cut; less where hollow."""
    most = -np.inf
    for middle in np.arange(shoe / 2, guide.length - shoe / 2, 40.0):
        back, at, on = (guide.interpolate(middle + step) for step in (-shoe / 2, 0.0, shoe / 2))
        chord = LineString([back, on])
        toward = cut.distance(chord.interpolate(0.5, normalized=True)) > cut.distance(at)
        most = max(most, chord.distance(at) * (1 if toward else -1))
    return most


@pytest.mark.slow
@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("leans", Leans)
def test_the_hollow_edge_is_sawn_first(name: str, leans: Leans) -> None:
    """No guide bulges by more than a pencil line unless the guides of the other order would bulge as much."""
    saw = _saw(leans=leans)
    for piece in sample(name)[1].long_pieces:
        printed, other_order = [], []
        for rip in saw_setup(piece, saw).rips:
            s = rip.setting
            assert s.guide_line is not None
            assert s.distance is not None
            cut = LineString(s.saw_line)
            printed.append(_bulge(LineString(s.guide_line), cut, saw.shoe_length))
            opposite = cut.offset_curve(-s.distance * rip.guide_side)
            other_order.append(_bulge(opposite, cut, saw.shoe_length))
        assert max(printed) <= max(0.45, max(other_order) + 0.4), piece.part.title


def test_a_bent_piece_is_sawn_hollow_edge_first_and_its_sheet_says_so() -> None:
    """One edge of the reedling's riser is hollow by more than 3 mm from end to end."""
    piece = next(piece for piece in sample("reedling")[1].long_pieces if piece.part.title == "riser, port")
    first, last = saw_setup(piece, _saw()).rips
    edge = next(edge for edge in piece.part.edges if edge.name == first.edge.name).points
    other = next(edge for edge in piece.part.edges if edge.name == last.edge.name).points
    way = (edge[-1] - edge[0]) / np.hypot(*(edge[-1] - edge[0]))
    square = np.array([-way[1], way[0]])
    inward = np.sign((other.mean(axis=0) - edge[0]) @ square)
    assert ((edge - edge[0]) @ square * inward).max() > 3.0
    setup = saw_setup(piece, _saw())
    assert f"Saw the {first.edge.name} edge first" in " ".join(note_words(setup, first, "in-16ths"))
    assert "first: it is the hollow edge" not in " ".join(note_words(setup, last, "in-16ths"))
    for rip in setup.rips:
        assert not any("bulges" in step for step in step_words(setup, rip, None, "in-16ths"))


def test_pins_leave_the_hollow_edge_first() -> None:
    piece = next(piece for piece in sample("reedling")[1].long_pieces if piece.part.title == "riser, port")
    assert [rip.edge.name for rip in saw_setup(piece, _saw(pins=200.0)).rips] == ["lower", "upper"]
    assert [rip.edge.name for rip in saw_setup(piece, _saw()).rips] == ["lower", "upper"]


# --- Much left to plane ---


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(6))
def test_much_wood_left_is_told_where_it_is_and_nowhere_else(seed: int) -> None:
    """Square from the finished edge to the sawn one, at both faces, by the pushed saw."""
    random = np.random.default_rng(seed)
    steepest = float(random.uniform(0.0, 20.0))
    saw = _saw(guide=((0.0, 136.0), (float(np.radians(steepest)), 130.0)))
    pieces = [piece for name in SAMPLES for piece in sample(name)[1].long_pieces if piece.part.hand != "starboard"]
    bevelled = [piece for piece in pieces if piece.name == "chine log"]
    piece = bevelled[int(random.integers(len(bevelled)))]
    setup = saw_setup(piece, saw)
    [made] = bench([piece], BenchRules(saw, (), 12.0))
    told = dict.fromkeys(where for where, text in bench_cautions([made], "in-16ths") if "much wood" in text)
    for rip in setup.rips:
        most = 0.0
        for sawn, net in zip(_sawn(rip, rip.setting, saw, piece.thickness), _net_lines(piece, rip), strict=True):
            x, outside = _outside(sawn, net, rip, to_end=0.0).T
            bevel = np.arctan(np.interp(x, rip.edge.net[:, 0], rip.edge.run) / piece.thickness)
            most = max(most, float((outside * np.cos(bevel)).max()) - piece.rules.planing)
        if abs(most - 25.4 / 4) > 0.15:
            assert (f"saw, {piece.name}, {rip.edge.name} edge" in told) == (most > 25.4 / 4)
            assert any("much wood" in note for note in note_words(setup, rip, "mm")) == (most > 25.4 / 4)


def test_much_wood_has_a_cure_that_helps() -> None:
    """Sawn square, an edge 18.5 degrees off square leaves 38.1 tan 18.5 = 12.7 mm (1/2 in) and the allowance."""
    piece = _piece("chine log, port")
    square = saw_setup(piece, _saw(guide=((0.0, 136.0),)))
    [upper] = [rip for rip in square.rips if rip.edge.name == "upper"]
    told = much_words(square, upper, "in-16ths")
    assert told.startswith(
        'do not rip it so: this cut leaves up to 9/16" to plane off, 1/2" of it beyond the allowance'
    )
    assert 'more than 1/4" is much wood for a plane' in told
    assert "Instead make a test cut at 18.5° or more, or rip it on a band saw, or rip it square and plane" in told
    stiff = saw_setup(piece, _saw(tilts_to=0.0))
    assert "use a saw that tilts further" in much_words(stiff, stiff.rips[0], "mm")
    assert not any(rip.much for rip in saw_setup(piece, _saw()).rips)


# --- Formulas against brute force ---


@pytest.mark.parametrize("radius", [2000.0, 5000.0, 26000.0])
def test_a_shoe_in_a_hollow_stands_off_by_l_squared_over_8r(radius: float) -> None:
    saw = _saw(shoe_length=280.0)
    arc = _arc(radius, length=2000.0, points=401)
    off = stand_off(saw, arc, cut_on_left=True)[100:-100]
    assert off == pytest.approx(280.0**2 / (8 * radius), rel=0.02)
    straight = _shoe_runs(arc, 100.0, 280.0, cut_left=True, pins=False)
    centre = np.array([0.0, radius])
    away = radius - np.hypot(*(straight - centre).T)
    assert away.mean() == pytest.approx(100.0 + off.mean(), abs=0.01)


def test_a_280_mm_shoe_in_a_5_m_hollow_stands_off_2_mm() -> None:
    """280 mm at 5 m radius is 2.0 mm (geometry: L^2/(8R))."""
    off = stand_off(_saw(shoe_length=280.0), _arc(5000.0, points=601), cut_on_left=True)
    assert off[300] == pytest.approx(2.0, abs=0.05)


def test_a_bare_shoe_has_no_stand_off_on_a_bulge_and_pins_have_less_than_none() -> None:
    arc = _arc(5000.0, points=601)
    assert stand_off(_saw(), arc, cut_on_left=False).max() == 0.0
    assert stand_off(_saw(pins=200.0), arc, cut_on_left=False)[300] == pytest.approx(-(200.0**2) / 40000.0, rel=0.01)


def test_sag_over_a_chord_is_the_chords_own() -> None:
    arc = _arc(3000.0, length=1500.0)
    half = 75.0 / 3000.0
    # Half the chord is taken along the line: the exact rise of an arc of 150 mm.
    assert sags(arc, 150.0)[700] == pytest.approx(3000.0 * (1 - np.cos(half)), rel=1e-3)


@pytest.mark.parametrize(("radius", "tilt"), [(9000.0, 0.0), (5000.0, 0.0), (9000.0, 0.3), (5000.0, 0.3)])
def test_a_blade_rubs_where_a_disc_in_the_kerf_does(radius: float, tilt: float) -> None:
    """Brute force: a flat disc's chord laid in an arc of a kerf of its own width, square to the disc."""
    saw = _saw()
    fit = blade_fit(saw, _arc(radius), tilt=tilt, thickness=38.1)
    r = saw.blade_diameter / 2
    chord = np.linspace(-1, 1, 2001) * np.sqrt(r**2 - (r - fit.depth) ** 2)
    assert fit.chord == pytest.approx(float(np.ptp(chord)))
    across = (radius - np.sqrt(radius**2 - chord**2)) * np.cos(tilt)  # of the kerf's middle, square to the disc
    assert fit.sag == pytest.approx(float(np.ptp(across)), rel=5e-3)
    assert fit.follows == (float(np.ptp(across)) + saw.plate <= saw.kerf)


def test_easing_never_takes_wood_away() -> None:
    rng = np.random.default_rng(4)
    values = rng.normal(size=300).cumsum() / 10
    assert (eased(values, np.ones(300, dtype=bool)) >= values - 1e-12).all()


def _all() -> list[SawSetup]:
    return [saw_setup(piece, _saw()) for piece in _boat()[0]]


def test_every_blade_of_saltmeadow_follows_its_cut() -> None:
    assert all(rip.setting.blade.freely for setup in _all() for rip in setup.rips)
