"""Bending before the boat is touched: one verdict, the sample, the form and its spring-back, moist and dry wood."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
from sample_jobs import sample

from patterns.parts.long.long_pieces import Bends, LongPiece
from patterns.plates.words.bending_words import bend_words, trial_words
from patterns.shop.saw.bend_trials import form, overbend, sample_deflection
from patterns.shop.saw.bend_verdict import Way, bend_verdict
from patterns.shop.woods import Wood, wood_called

SHOW = "ft-in-16ths"


def _piece(name: str, title: str) -> LongPiece:
    return next(piece for piece in sample(name)[1].long_pieces if piece.part.title == title)


def _bent(radius: float) -> LongPiece:
    """Saltmeadow's inwale, 19.05 mm of white oak, as if it bent everywhere to one radius."""
    piece = _piece("saltmeadow", "inwale, port")
    level = np.zeros(len(piece.bends.along))
    return replace(piece, bends=Bends(piece.bends.along, level + 1 / radius, level, level))


def test_white_ash_at_8_percent_moisture_is_as_strong_as_the_handbook_works_out() -> None:
    """Wood Handbook, equation 5-3 and its example: 103 and 66 MPa, Mp 24: 119,500 kPa, printed to four figures."""
    ash = Wood("ash, white", 0.103, 12.0, 0.6, (0.066, 9.9), 24.0)
    assert ash.property_at(0, 8.0) == pytest.approx(0.1195, rel=5e-4)
    assert ash.property_at(0, 12.0) == pytest.approx(0.103)
    assert ash.property_at(0, 24.0) == pytest.approx(0.066)
    assert ash.property_at(0, 60.0) == pytest.approx(0.066), "wetter than Mp it is as weak as green"


def test_dry_douglas_fir_breaks_where_the_aircraft_inspectors_say() -> None:
    """ANC-19 (1943), section 5.68: flat Douglas-fir at 10 to 12 % moisture breaks at a radius of 80 thicknesses."""
    fir = wood_called("Douglas-fir, coast")
    assert fir is not None
    assert 1 / (2 * fir.strain_at(11.0)) == pytest.approx(80.0, rel=0.05)


def test_one_verdict_counts_strain_run_out_and_moisture_together() -> None:
    """White oak, 104.8 / 12270 = 0.00854: at 101 thicknesses 58 % of it; 67 % of the strength left, 87 %."""
    piece = _bent(101 * 19.05)
    straight, steep = bend_verdict(piece, 0.0), bend_verdict(piece, 1 / 8)
    assert straight.strained == pytest.approx(0.5 / 101 / (104.8 / 12270), rel=0.01)
    assert steep.strained == pytest.approx(0.5 / 101 / (104.8 / 12270) / 0.67, rel=0.01)
    assert (straight.way, steep.way) == (Way.SPRING, Way.STEAM)
    wet, kiln = bend_verdict(piece, 0.0, 20.0), bend_verdict(piece, 0.0, 7.0)
    assert wet.strained is not None
    assert wet.strained > straight.strained
    assert kiln.way is Way.TRY
    assert "wood bends badly" in " ".join(bend_words(kiln, "white oak", SHOW))
    assert "let it dry before you glue" in " ".join(bend_words(wet, "white oak", SHOW))


@pytest.mark.parametrize(("span", "radius"), [(480.0, 3213.0), (914.4, 3515.0)])
def test_a_sample_pulled_down_so_far_bends_to_the_radius(span: float, radius: float) -> None:
    """A load midway bends a strip by nothing at the blocks and most under it: its slope and rise added up in steps."""
    x = np.linspace(-span / 2, span / 2, 20001)
    bend = (1 - np.abs(x) / (span / 2)) / radius
    step = x[1] - x[0]
    slope = np.cumsum(bend) * step
    rise = np.cumsum(slope - slope.mean()) * step
    assert np.ptp(rise) == pytest.approx(sample_deflection(span, radius), rel=1e-3)


def test_the_sample_of_the_sample_boats_chine_log() -> None:
    """1 1/2 in thick on blocks 36 in apart, radius 138 3/8 in: 36^2 / (12 x 138.4) = 0.78, to the step 3/4 in."""
    piece = _piece("saltmeadow", "chine log, port")
    words = " ".join(trial_words(bend_verdict(piece), piece.thickness, SHOW))
    assert '1 1/2" thick, 3" wide, 3\' 4" long' in words
    assert '3\' 0" apart and pull it down midway by 3/4"' in words
    assert "about 1.5 hours" in words


@pytest.mark.parametrize("count", [2, 3, 5])
def test_layers_spring_back_from_their_form_to_the_piece(count: int) -> None:
    """Of n layers each is n^3 times less stiff; n of them hold n / n^3 of what the glued piece gives back: 1/n^2."""
    radius, length = 2500.0, 3000.0
    along = np.linspace(0.0, length, 31)
    made = form(along, np.full(31, 1 / radius), along[[0, 15, 30]], count)
    tight = radius * (1 - 1 / count**2)
    assert overbend(count) == pytest.approx(radius / tight)
    assert made.chord == pytest.approx(2 * tight * np.sin(length / (2 * tight)), rel=1e-5)
    assert made.depth == pytest.approx(tight * (1 - np.cos(length / (2 * tight))), rel=1e-4)
    assert made.deep == pytest.approx([0.0, made.depth, 0.0], abs=1e-6)
    assert made.along == pytest.approx([0.0, made.chord / 2, made.chord], abs=1e-6)


@pytest.mark.parametrize("seed", range(40))
def test_no_wood_is_bent_cold_past_what_it_stands_nor_its_layers_on_their_form(seed: int) -> None:
    """Wood, moisture, run-out and radius at random; strain t/2R against equation 5-3, worked out here once more."""
    random = np.random.default_rng(seed)
    name = str(random.choice(["white oak", "ash, white", "Douglas-fir, coast", "redcedar, western", "spruce, Sitka"]))
    wood, ratio, moisture = wood_called(name), 10 ** random.uniform(1.0, 2.5), float(random.uniform(4, 40))
    assert wood is not None
    assert wood.green is not None
    slope = float(random.choice([0.0, 1 / 20, 1 / 11, 1 / 8, 1 / 4]))
    drier = (12 - min(moisture, wood.meets_at)) / (wood.meets_at - 12)
    rupture, stiffness = (
        dry * (dry / green) ** drier for dry, green in zip((wood.rupture, wood.stiffness), wood.green, strict=True)
    )
    left = {0.0: 1.0, 1 / 20: 1.0, 1 / 11: 0.83, 1 / 8: 0.67, 1 / 4: 0.67}[slope]  # ANC-18, Table 2-4
    share = 0.5 / ratio / (rupture / stiffness) / left
    piece = replace(_bent(ratio * 19.05), rules=replace(_bent(1e4).rules, material=name))
    verdict = bend_verdict(piece, slope, moisture)
    assert verdict.strained == pytest.approx(share, rel=0.02)
    assert verdict.way is not Way.SPRING or (share < 0.67 and ratio > 100 and slope < 1 / 12 and moisture >= 10)
    assert verdict.way not in (Way.SPRING, Way.TRY) or share < 0.85
    if verdict.layers:
        count = verdict.layers.count
        on_form = share / count / (1 - 1 / count**2)
        assert on_form < 0.67
        assert ratio * count * (1 - 1 / count**2) > 99.9
        # The inside of the bend runs shorter by a radian's thickness for each radian: strips reach round the outside.
        assert verdict.layers.strip > piece.arrises.lower + piece.bends.along[-1] / ratio


def test_a_sample_of_a_layer_is_bent_as_hard_as_the_form_bends_it() -> None:
    """20 thicknesses of 19.05 mm in n layers: the form's radius is 381 (1 - 1/n^2), the sagitta span^2 / 12 of it."""
    verdict = bend_verdict(_bent(20 * 19.05))
    assert verdict.layers is not None
    words = " ".join(trial_words(verdict, 19.05, "mm"))
    tight = 381.0 * (1 - 1 / verdict.layers.count**2)
    figure = re.search(r"blocks ([\d.]+) mm apart and pull it down midway by ([\d.]+) mm", words)
    assert figure is not None
    span = float(figure[1])
    assert float(figure[2]) == pytest.approx(span**2 / (12 * tight), abs=0.06)
    assert "as hard as on the form" in words
