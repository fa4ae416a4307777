"""Samples with some of what their boat.toml says changed, in folders of their own."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from commanded import ROOT


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
