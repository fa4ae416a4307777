"""A round hull faired from her folder: a slip in her table, what is told, drawn and written."""

from __future__ import annotations

from pathlib import Path

import pytest
from commanded import ROOT

from patterns.cli.columns import in_lines
from patterns.job.faired_lines import fair_files, faired_table
from patterns.reading.boat.boat_toml import LinesFile, read_lines
from patterns.writing.report.fair_tables import FairedTable, next_figure, report

pytestmark = pytest.mark.slow

WITHYWATER = ROOT / "samples" / "withywater"


def faired(folder: Path, *changes: tuple[str, str], rule: str = "") -> tuple[LinesFile, FairedTable]:
    """Withywater faired, with figures of her table changed and a rule before her boat.toml."""
    for name, before in (("boat.toml", rule), ("offsets.csv", "")):
        text = (WITHYWATER / name).read_text(encoding="utf-8")
        for old, new in changes if name == "offsets.csv" else ():
            assert old in text, old
            text = text.replace(old, new, 1)
        (folder / name).write_text(f"{before}\n{text}" if before else text, encoding="utf-8")
    read = read_lines(folder)
    return read, faired_table(read)


def told(table: FairedTable) -> str:
    """The whole report in one line."""
    return " ".join(" ".join(line for one in report(table) for line in in_lines(one.blocks)).split())


def test_a_right_table_is_told_where_it_says_too_little_and_drawn_by_its_surface(tmp_path: Path) -> None:
    read, table = faired(tmp_path)
    words = told(table)
    assert "No figure stands out from the rest." in words
    assert "and the sheer at the transom: the table says too little" in words
    measure = next_figure(table)
    assert measure.startswith("Measure on the plan, at the transom, the height ")
    assert " mm' among the heights" in measure
    files = fair_files(read, table)
    body = str(files["lines-body-plan.svg"])
    assert "Sections are cuts of the one surface that all the lines agree on." in body
    assert "waterline 200" in body
    # The table as faired has each figure within its limit of 1 mm, and no cell where the builder's has none.
    given = (tmp_path / "offsets.csv").read_text(encoding="utf-8").splitlines()
    for old, new in zip(given[2:], str(files["offsets-faired.csv"]).splitlines()[2:], strict=True):
        pairs = list(zip(old.split(",")[1:], new.split(",")[1:], strict=True))
        assert all(bool(a) == bool(b) for a, b in pairs), old
        assert all(abs(float(a) - float(b)) <= 1.0 for a, b in pairs if a), old


def test_a_slip_is_denied_by_name_and_can_be_left_out(tmp_path: Path) -> None:
    _, table = faired(tmp_path, ("213,331,419", "213,331,479"))
    words = told(table)
    assert "waterline 200 half-breadths at 4: 479 is denied by " in words
    assert "a 1 misread as 7? did you mean 419?" in words
    rule = 'fairing = [{ line = "waterline 200", view = "half-breadths", station = "4", leave_out = true }]'
    assert rule in words
    # Taken at its word, the program has no other figure in doubt.
    _, table = faired(tmp_path, ("213,331,419", "213,331,479"), rule=rule)
    assert "No figure stands out from the rest." in told(table)
