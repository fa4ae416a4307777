"""Router files under settings drawn at random, by four readers. The bench of router variants sweeps many more."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from dxf_judged import faults_of_file
from router_settings import random_rules
from sample_jobs import sample

from patterns.shop.router.router_parts import ready_to_cut
from patterns.writing.ink.dxf import write_dxf


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(5))
def test_parts_cut_by_any_settings_are_read_alike_by_four_readers(
    tmp_path: Path, caplog: pytest.LogCaptureFixture, seed: int
) -> None:
    chance = random.Random(f"router settings {seed}")
    read, job = sample(chance.choice(("duckweed", "reedling", "saltmeadow")))
    rules = random_rules(chance, read.router)
    kinds = list({part.role: part for part in chance.sample(job.to_cut, len(job.to_cut))}.values())
    for part in ready_to_cut(chance.sample(kinds, 4), rules, boat=job.boat.name, show=job.boat.show):
        path = tmp_path / "part.dxf"
        path.write_bytes(write_dxf(part, rules.form, run="ABCDE"))
        assert not caplog.records  # what the library says of a file would stand on the builder's screen
        assert list(faults_of_file(path, part.at_origin(), rules.form)) == [], f"{part.title} by {rules}"
