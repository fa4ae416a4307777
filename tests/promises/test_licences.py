"""What travels with the program may be passed on: its own terms, and the terms of lettering and data it ships."""

from __future__ import annotations

import json
import re
import tomllib

from commanded import ROOT

from patterns.units.shared_data import shared_file

#: Characters of DejaVu Sans 2.37 that come from the Arev fonts, as the README of that font lists them.
AREV = (
    "01BA 01BF 01F7 021C-021D 0220 0222-0223 02B9 02BA 02BD 02C2-02C5 02D4-02D5 02D7 02EC-02EE 0346-034E 0360 0362 "
    "03E2-03EF 0460-0463 0466-0486 0488-0489 04A8-04A9 0500-050F 2055-205E 20B0 20B2-20B3 2102 210D 210F 2111 2113 "
    "2115 2118-211A 211C-211D 2124 2135 213C-2140 2295-2298 2308-230B 26A2-26B1 2701-2704 2706-2709 270C-274B "
    "2758-275A 2761-2775 2780-2794 2798-27AF 27B1-27BE FB05-FB06"
)


def ranges(listed: str) -> set[int]:
    """The characters of a list of hexadecimal ranges: ``"0041-0043 0061"`` gives A, B, C and a."""
    ends = [(pair[0], pair[-1]) for pair in (part.split("-") for part in listed.split())]
    return {code for first, last in ends for code in range(int(first, 16), int(last, 16) + 1)}


def test_the_font_notice_lists_every_character_of_the_second_rights_holder() -> None:
    shipped = set(map(ord, json.loads(shared_file("fonts/widths.json").read_text(encoding="utf-8"))))
    notice = shared_file("fonts/LICENSE.txt").read_text(encoding="utf-8")
    listed = ranges(" ".join(re.findall(r"U\+[0-9A-F]{4}(?:-U\+[0-9A-F]{4})?", notice)).replace("U+", ""))
    assert listed == ranges(AREV) & shipped


def test_the_project_states_its_terms_and_every_licence_file_it_names_is_there() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert project["license"] == "MIT"
    assert shared_file("LICENSE.txt").read_text(encoding="utf-8").startswith("MIT License")
    assert [name for name in project["license-files"] if not (ROOT / name).is_file()] == []
    assert "urls" not in project


def test_shipped_data_names_its_sources_without_web_addresses() -> None:
    data = [path for path in (ROOT / "shared").rglob("*") if path.suffix in {".csv", ".toml", ".json", ".md"}]
    assert len(data) > 10
    addresses = {
        path.name for path in data if re.search(r"https?://|www\.|\.com\b|\.org\b", path.read_text(encoding="utf-8"))
    }
    assert addresses == set()
