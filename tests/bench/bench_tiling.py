"""How long tiling and writing a big pattern takes: python tests/bench/bench_tiling.py (best of five runs)."""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from patterns.drawing.marks import Drawing, Ink, Label, Stroke
from patterns.tiling.roll.roll import roll
from patterns.tiling.tiles.tiles import PaperSetup, tile
from patterns.writing.ink.pdf import pdf_bytes
from patterns.writing.ink.svg import svg_text

LENGTH, HEIGHT = 6000.0, 1200.0  # mm


def big_pattern() -> Drawing:
    """20 curves of 400 points, 600 labels, 13 dashed lines and 300 ticks on 6000 x 1200 mm."""
    x = np.linspace(0.0, LENGTH, 400)
    marks: list[Ink] = [
        Stroke(np.column_stack([x, y + 20.0 * np.sin(x / 700.0)]), "cut-outside")
        for y in np.linspace(20.0, HEIGHT - 20.0, 20)
    ]
    for at in np.linspace(100.0, LENGTH - 100.0, 13):
        marks.append(Stroke(np.array([[at, 0.0], [at + 60.0, HEIGHT]]), "far-face"))
    random = np.random.default_rng(1)
    for number, (across, up) in enumerate(random.uniform((20, 20), (LENGTH - 20, HEIGHT - 20), (600, 2)).tolist()):
        marks.append(Label(f"{number}: 3.2° under, ⅛″", (across, up), 3.0, angle=0.1 * (number % 5)))
        if number % 2:
            marks.append(Stroke(np.array([[across, up], [across, up + 5.0]]), "mark"))
    return Drawing("big pattern", "big-pattern", tuple(marks))


def main() -> None:
    drawing = big_pattern()
    sheet = PaperSetup(210.0, 297.0, name="A4")
    pdf_bytes(tile(drawing, sheet).pages[:1], title="warm")
    cut, written, rolled, spelled = [], [], [], []
    for _ in range(5):
        times = [time.perf_counter()]
        tiling = tile(drawing, sheet)
        times.append(time.perf_counter())
        data = pdf_bytes(tiling.pages, title=drawing.title)
        times.append(time.perf_counter())
        roll(drawing)
        times.append(time.perf_counter())
        svg_text(drawing)
        times.append(time.perf_counter())
        for store, spent in zip((cut, written, rolled, spelled), np.diff(times), strict=True):
            store.append(spent)
    print(f"{len(tiling.tiles)} tiles, PDF of {len(data) / 1e6:.2f} MB")
    print(f"tiling {min(cut):.3f} s, PDF {min(written):.3f} s, roll {min(rolled):.3f} s, SVG {min(spelled):.3f} s")


if __name__ == "__main__":
    main()
