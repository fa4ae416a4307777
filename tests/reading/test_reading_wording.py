"""How a name that the program does not know is answered."""

from __future__ import annotations

import pytest

from patterns.reading.wording import FORMER, did_you_mean


@pytest.mark.parametrize(("former", "now"), FORMER.items())
def test_a_former_name_leads_to_the_present_one_and_to_no_other(former: str, now: str) -> None:
    assert did_you_mean(former, ("cutter", now, "limber")) == f"; did you mean '{now}'?"
    assert now not in did_you_mean(former, ("cutter", "limber"))


@pytest.mark.parametrize(
    ("written", "near"), [("sidde", "sided"), ("SIDED", "sided"), ("moldded", "moulded"), ("xyz", "")]
)
def test_a_slip_of_the_pen_leads_to_the_nearest_name(written: str, near: str) -> None:
    assert did_you_mean(written, ("sided", "moulded")) == (f"; did you mean '{near}'?" if near else "")
