"""Single-stroke lettering: every plain character, and no other without a word."""

from __future__ import annotations

import json

import numpy as np
import pytest

from patterns.drawing.engraving import engraved, engraved_reach, engraved_width, in_plain_letters, plain
from patterns.errors import ShapeError
from patterns.units.shared_data import shared_file


def test_every_plain_character_has_its_strokes() -> None:
    for letter in map(chr, range(0x21, 0x7F)):
        points, counts = engraved(letter, (0.0, 0.0), size=10.0)
        assert counts, letter
        assert sum(counts) == len(points)


def test_capitals_are_as_high_as_asked_and_stand_about_their_middle() -> None:
    points, _ = engraved("HEX", (100.0, 50.0), size=12.0)
    assert points[:, 1].min() == pytest.approx(44.0)
    assert points[:, 1].max() == pytest.approx(56.0)
    assert abs((points[:, 0].min() + points[:, 0].max()) / 2 - 100.0) < 2.0
    assert np.ptp(points[:, 0]) < engraved_width("HEX", 12.0)


def test_fractions_are_drawn_from_digits() -> None:
    assert plain("3⅝ in, ½") == "3 5/8 in, 1/2"


def test_accents_and_signs_take_plain_letters() -> None:
    assert plain("Æble, lärk 5° × 2″") == 'AEble, lärk 5 deg x 2"'
    assert in_plain_letters("Æble, lärk 5° × 2″, чайка") == 'AEble, lark 5 deg x 2", чайка'


@pytest.mark.parametrize(
    "alphabet",
    [
        "ÀÁÂÃÄÅĀĂĄÇĆĈĊČĎĐÈÉÊËĒĔĖĘĚĜĞĠĢĤĦÌÍÎÏĨĪĬĮĴĶĹĻĽŁÑŃŅŇÒÓÔÕÖØŌŎŐŔŖŘŚŜŞŠȘŢŤȚŦÙÚÛÜŨŪŬŮŰŲŴÝŶŸŹŻŽẤỄỔỢỰ",
        "ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩΆΈΉΊΌΎΏΪΫᾼὮ",
        "АБВГДЕЁЖЗИЙКЛМНОПРСТУФХЦЧШЩЪЫЬЭЮЯЄІЇҐЎЂЋЉЊЏЈЅҚҢҒҮҰӨҺ",
    ],
)
def test_alphabets_are_engraved_as_they_are_written(alphabet: str) -> None:
    for letter in alphabet + alphabet.lower():
        assert plain(letter) == letter
        points, counts = engraved(letter, (0.0, 0.0), size=10.0)
        assert min(counts) > 1
        assert np.ptp(points[:, 1]) < 22.0
        assert np.abs(points[:, 1]).max() == pytest.approx(engraved_reach(letter, 10.0), rel=0.3)


def test_no_two_letters_of_an_alphabet_look_alike() -> None:
    for alphabet in ("абвгдеёжзийклмнопрстуфхцчшщъыьэюя", "αβγδεζηθικλμνξοπρσςτυφχψω", "aàáâãäåāăąiìíîïĩīĭįı"):
        shapes = {engraved(letter, (0.0, 0.0), size=21.0)[0].round(1).tobytes() for letter in alphabet}
        assert len(shapes) == len(alphabet)


@pytest.mark.parametrize(("bare", "accented"), ["eé", "AÅ", "иӣ", "oố", "ιΐ"])
def test_accents_stand_above_their_letter_in_the_order_written(bare: str, accented: str) -> None:
    letter, _ = engraved(bare, (0.0, 0.0), size=21.0)
    whole, _ = engraved(accented, (0.0, 0.0), size=21.0)
    accents = whole[len(letter) :]
    assert np.allclose(whole[: len(letter)], letter)
    assert accents[:, 1].min() > letter[:, 1].max() + 1.0
    assert np.ptp(accents[:, 0]) < 12.0


def test_an_accented_i_has_no_dot() -> None:
    assert len(engraved("í", (0.0, 0.0), size=21.0)[1]) == 2
    assert len(engraved("ї", (0.0, 0.0), size=21.0)[1]) == 3


def test_a_letter_without_strokes_is_named_with_its_words() -> None:
    with pytest.raises(ShapeError, match=r"'əglə' cannot be engraved: no strokes for 'ə'"):
        plain("əglə")


def test_the_notice_travels_with_the_strokes() -> None:
    notice = shared_file("fonts/STROKES-NOTICE.txt").read_text(encoding="utf-8")
    assert "A. V. Hershey" in notice
    assert "NTIS" in notice
    assert "drawn for this project" in notice
    assert len(json.loads(shared_file("fonts/strokes.json").read_text(encoding="utf-8"))) > 250
