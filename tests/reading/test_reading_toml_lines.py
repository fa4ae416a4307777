"""A fault of boat.toml is shown on the line its key stands on, whatever else the file holds."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from commanded import SALTMEADOW
from hypothesis import given
from hypothesis import strategies as st

from patterns.errors import InputError
from patterns.reading.boat.boat_toml import read_boat
from patterns.reading.toml.toml_lines import key_lines, line_of

WORDS = '''[boat]   # [transom]
name = "Rill # [stem]"
about = """
[transom]
thickness = 3
a \\""" quote""""
old = \'\'\'
name = "no"
[[thwart]]\'\'\'

[planking.side]
thickness = 6
"joint at" = 1
joint.kind = { a = 1, "b c" = [2, 3], d.e = "}" }
sizes = [
  1, # ]
  { mm = "]", in = 2 },

  [3,
   4],
]
[[thwart]]
at = 1979-05-27 07:32:00
[[thwart]]
at = 1
[thwart.knee]
up = 1
[[thwart.bolt]]
[[thwart.bolt]]
[transom]
thickness = 3
'''
LINES = {
    ("boat",): 1,
    ("boat", "name"): 2,
    ("boat", "about"): 3,
    ("boat", "old"): 7,
    ("planking",): 11,
    ("planking", "side"): 11,
    ("planking", "side", "thickness"): 12,
    ("planking", "side", "joint at"): 13,
    ("planking", "side", "joint"): 14,
    ("planking", "side", "joint", "kind"): 14,
    ("planking", "side", "joint", "kind", "a"): 14,
    ("planking", "side", "joint", "kind", "b c"): 14,
    ("planking", "side", "joint", "kind", "b c", 0): 14,
    ("planking", "side", "joint", "kind", "b c", 1): 14,
    ("planking", "side", "joint", "kind", "d"): 14,
    ("planking", "side", "joint", "kind", "d", "e"): 14,
    ("planking", "side", "sizes"): 15,
    ("planking", "side", "sizes", 0): 16,
    ("planking", "side", "sizes", 1): 17,
    ("planking", "side", "sizes", 1, "mm"): 17,
    ("planking", "side", "sizes", 1, "in"): 17,
    ("planking", "side", "sizes", 2): 19,
    ("planking", "side", "sizes", 2, 0): 19,
    ("planking", "side", "sizes", 2, 1): 20,
    ("thwart",): 22,
    ("thwart", 0): 22,
    ("thwart", 0, "at"): 23,
    ("thwart", 1): 24,
    ("thwart", 1, "at"): 25,
    ("thwart", 1, "knee"): 26,
    ("thwart", 1, "knee", "up"): 27,
    ("thwart", 1, "bolt"): 28,
    ("thwart", 1, "bolt", 0): 28,
    ("thwart", 1, "bolt", 1): 29,
    ("transom",): 30,
    ("transom", "thickness"): 31,
}


def paths(value: Any, above: tuple[str | int, ...] = ()) -> set[tuple[str | int, ...]]:
    """Of everything the standard reader finds."""
    inside = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return {above} - {()} | {path for name, one in inside for path in paths(one, (*above, name))}


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_every_key_stands_on_its_line_whatever_strings_and_comments_hold(end: str) -> None:
    text = WORDS.replace("\n", end)
    assert key_lines(text) == LINES
    assert set(LINES) == paths(tomllib.loads(text))


def test_the_nearest_table_above_answers_for_a_key_that_is_missing() -> None:
    assert line_of(LINES, ("thwart", 1, "width")) == 24
    assert line_of(LINES, ("stem",)) is None


@pytest.mark.parametrize("sample", sorted(SALTMEADOW.parent.iterdir()), ids=lambda folder: folder.name)
def test_every_key_of_a_sample_stands_where_its_word_is_written(sample: Path) -> None:
    text = (sample / "boat.toml").read_text(encoding="utf-8")
    lines, rows = key_lines(text), text.split("\n")
    assert set(lines) == paths(tomllib.loads(text))
    for path, line in lines.items():
        if isinstance(path[-1], str):
            assert path[-1] in rows[line - 1]


_TEXT = st.text(st.sampled_from("ab\"'\\#[]{}=,.\n \u2028\f"), max_size=12)


def _literal(text: str) -> str:
    """Any text as a string of several lines, with all that may stand in one as it is."""
    kept = text.replace("\\", "\\\\").replace('"""', '\\"\\"\\"').replace("\f", "\\f")
    return f'"""\n{kept.removesuffix(chr(34))}"""'


@given(st.lists(st.tuples(_TEXT, st.booleans()), min_size=1, max_size=6))
def test_no_string_moves_the_lines_below_it(texts: list[tuple[str, bool]]) -> None:
    rows, lines = list[str](), dict[tuple[str | int, ...], int]()
    for number, (text, listed) in enumerate(texts):
        row = f"[[t]]\nk{number} = {f'[1, {_literal(text)}]' if listed else _literal(text)}  # {'[x]'}"
        lines[("t", number, f"k{number}")] = "\n".join([*rows, "[[t]]", ""]).count("\n") + 1
        rows.append(row)
    written = "\n".join(rows)
    found = key_lines(written)
    assert set(found) == paths(tomllib.loads(written))
    assert {path: found[path] for path in lines} == lines


def test_a_fault_below_a_text_that_looks_like_toml_is_on_its_own_line(tmp_path: Path) -> None:
    text = (SALTMEADOW / "boat.toml").read_text(encoding="utf-8")
    aside = 'about = """\n[transom]\nthickness = 3\n"""\n'
    text = text.replace(text[text.index("about ") : text.index("units ")], aside)
    transom = text.rindex("[transom]")
    text = text[:transom] + text[transom:].replace("thickness = ", "thickness = -", 1).replace('-"', '"-', 1)
    for before, end in (("", "\n"), ("\ufeff", "\r\n")):
        (tmp_path / "boat.toml").write_bytes((before + text.replace("\n", end)).encode())
        (tmp_path / "offsets.csv").write_bytes((SALTMEADOW / "offsets.csv").read_bytes())
        with pytest.raises(InputError) as refused:
            read_boat(tmp_path)
        [problem] = refused.value.problems
        line = text[:transom].count("\n") + text[transom : text.index("thickness", transom)].count("\n") + 1
        assert problem.cell == f"boat.toml, line {line}, [transom] thickness"


def test_toml_that_cannot_be_read_is_quoted_by_its_own_line_past_form_feeds(tmp_path: Path) -> None:
    (tmp_path / "boat.toml").write_text("a = '''\u2028 \x85'''\n[boat\n", encoding="utf-8")
    with pytest.raises(InputError, match=r"boat\.toml, line 2: found '\[boat'"):
        read_boat(tmp_path)
