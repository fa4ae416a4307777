"""Writes the guide's page of keys from the models of boat.toml: run it after a key or its meaning has changed."""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from patterns.job.keys_text import keys_page  # noqa: E402

PAGE = ROOT / "shared" / "guide" / "keys.md"

if __name__ == "__main__":
    PAGE.write_text(keys_page(), encoding="utf-8")
