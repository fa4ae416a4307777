"""[router] of boat.toml: what is asked of the router's files, and what is taken where nothing is said."""

from __future__ import annotations

from pathlib import Path

import pytest

from patterns.errors import InputError
from patterns.reading.boat.boat_toml import BoatFile, read_boat
from patterns.shop.router.router_rules import CutTo, Release, Relief, Words

SALTMEADOW = Path(__file__).parents[2] / "samples" / "saltmeadow"
ASKED = """
[router]
cutter = "3 mm"
cut = "finished line"
relief = "along one side"
clearance = "0.2 mm"
tabs = 6
tab_length = "12 mm"
pilot = "2.4 mm"
frame_spacing = "100 mm"
lettering = "short"
dxf = "R12"
plain_colors = true
layers = { mark = "SCORE", tab = "SCORE" }
"""


def read(folder: Path, router: str) -> BoatFile:
    text = (SALTMEADOW / "boat.toml").read_text(encoding="utf-8")
    start = text.index("[router]")
    (folder / "boat.toml").write_text(text[:start] + router + text[text.index("[printer]") :], encoding="utf-8")
    (folder / "offsets.csv").write_bytes((SALTMEADOW / "offsets.csv").read_bytes())
    return read_boat(folder)


def router_defaults(boat: BoatFile) -> dict[str, str]:
    return {default.key: default.value for default in boat.defaults if default.key.startswith("[router]")}


def test_what_is_asked_of_the_router_is_read(tmp_path: Path) -> None:
    boat = read(tmp_path, ASKED)
    rules = boat.router
    assert (rules.cutter, rules.cut, rules.relief) == (3.0, CutTo.FINISHED, Relief.SIDE)
    assert (rules.clearance, rules.tabs, rules.tab_length, rules.pilot) == (0.2, 6, 12.0, 2.4)
    assert (rules.frame_spacing, rules.frame_sided) == (100.0, 19.05)
    assert (rules.words, rules.form.release, rules.form.plain_colors) == (Words.SHORT, Release.R12, True)
    assert [rules.form.name(layer) for layer in ("mark", "tab", "sheet")] == ["SCORE", "SCORE", "sheet"]
    assert router_defaults(boat) == {
        "[router] tab_height": "1/8 in",
        "[router] pilot_edge": "3/8 in",
        "[router] pilot_spacing": "2 1/2 in",
        "[router] gap": "0.5 in",
        "[router] margin": "0.5 in",
    }  # fmt: skip


def test_defaults_of_what_is_not_asked_for_are_not_told(tmp_path: Path) -> None:
    boat = read(tmp_path, "")
    assert router_defaults(boat) == {
        "[router] cut": "larger face",
        "[router] clearance": "0 in",
        "[router] gap": "0.5 in",
        "[router] margin": "0.5 in",
    }
    assert (boat.router.cutter, boat.router.pilot, boat.router.tabs) == (None, None, 0)


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ('cut = "bigger face"', "[router] cut: found 'bigger face', expected one of"),
        ('relief = "dog"', "[router] relief: found 'dog', expected one of"),
        ('dxf = "R13"', "[router] dxf: found 'R13', expected one of 'r2000', 'r12'"),
        ('lettering = "long"', "[router] lettering: found 'long', expected one of 'full', 'short', 'none'"),
        ('layers = { mark = "MY MARK" }', "[router] layers mark: found 'MY MARK', expected 1 to 31 plain letters"),
        (
            'layers = { mark = "cut-inside" }',
            "[router] layers mark: found 'cut-inside', expected another name: the layer cut-inside has this one too",
        ),
        ("tabs = 2.5", "[router] tabs: found 2.5, expected a whole number from 0 to 100"),
        ("tabs = true", "[router] tabs: found true, expected a whole number from 0 to 100"),
        ('pilot = "0 mm"', "[router] pilot: found '0 mm', expected a length of more than 0"),
        ('clearance = "-1 mm"', "[router] clearance: found '-1 mm', expected a length of 0 or more"),
    ],
)
def test_what_cannot_be_asked_is_refused_by_its_key(tmp_path: Path, line: str, told: str) -> None:
    with pytest.raises(InputError) as refused:
        read(tmp_path, f"[router]\n{line}\n")
    [problem] = refused.value.problems
    assert told in str(problem)
