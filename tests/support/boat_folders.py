"""Samples with some of what their boat.toml says changed, in folders of their own."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from commanded import ROOT

EVERYTHING = """
[[stringer]]
name = "Fender lath"
sided = 15
moulded = 30
below_sheer = 90
[inwale]
sided = 15
moulded = 30
[outwale]
sided = 15
moulded = 30
[rub_rail]
below_sheer = 160
sided = 12
moulded = 20
[keel_batten]
sided = 80
moulded = 15
[skeg]
sided = 20
from = 1700
depth = 60
[transom.framing]
sided = 18
moulded = 40
"""
"""Tables of the parts that the sample duckweed has not."""


def changed(sample: str, folder: Path, changes: Mapping[str, str], *, more: str = "") -> Path:
    """A folder with a sample in which words of boat.toml are changed, each where it first stands, and more added."""
    text = (ROOT / "samples" / sample / "boat.toml").read_text(encoding="utf-8")
    for old, new in changes.items():
        assert old in text, old
        text = text.replace(old, new, 1)
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "boat.toml").write_text(f"{text}\n{more}", encoding="utf-8")
    (folder / "offsets.csv").write_bytes((ROOT / "samples" / sample / "offsets.csv").read_bytes())
    return folder
