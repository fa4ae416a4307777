"""A panel in the flat with its rulings, and over it a bar for how far the sheet must be twisted along each."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from patterns.drawing.marks import Drawing, Ink, Label, Stroke
from patterns.geometry.arrays import Floats
from patterns.hull.planking.skin import TWIST_TOLD
from patterns.plates.view_field import SCALES
from patterns.shop.fit.fit_report import PanelSkin
from patterns.units.lengths import write_length

LONG = 220.0  # mm on paper
RULINGS = 60  # drawn over a panel where the sheet lies easily
TALLEST = 16.0  # mm, of the bar for the greatest twist
LEAST_SCALE = 2 * TWIST_TOLD  # rad the tallest bar stands for at the least, so that nothing is drawn as much
SIZE = 2.4  # mm
TITLE_SIZE = 3.6  # mm
OVER = 6.0  # mm from the panel to the foot of the bars


def twist_picture(skin: PanelSkin, show: str) -> Drawing:
    """The panel at one to so many; rulings drawn close, and bars over the level line, where it must be forced."""
    outline = skin.part.outline
    low, size = outline.min(axis=0), np.ptp(outline, axis=0)
    scale = next(s for s in SCALES if size[0] / s <= LONG)

    def on_paper(points: Floats) -> Floats:
        return np.asarray((points - low) / scale)

    foot = float(size[1]) / scale + OVER
    ink: list[Ink] = [Stroke(on_paper(outline), "cut-outside", closed=True)]
    ink += _rulings(skin, on_paper(outline), on_paper(skin.upper), on_paper(skin.lower))
    ink += _bars(skin, on_paper((skin.upper + skin.lower) / 2)[:, 0], foot, float(size[0]) / scale)
    ink += _words(skin, scale, show, foot + TALLEST)
    return Drawing(f"{skin.part.title}: twist", f"twist-{skin.part.file_name}", tuple(ink))


def _rulings(skin: PanelSkin, outline: Floats, upper: Floats, lower: Floats) -> Iterator[Stroke]:
    """One in so many where the sheet lies easily, every third where it must be forced; as far as the panel goes."""
    panel = shapely.Polygon(outline)
    shapely.prepare(panel)
    every = max(1, len(upper) // RULINGS)
    forced = np.abs(skin.twist) > TWIST_TOLD
    for n in range(len(upper)):
        if n % every == 0 or (forced[n] and n % 3 == 0):
            inside = panel.intersection(shapely.LineString([upper[n], lower[n]]))
            for run in shapely.get_parts(inside):
                if run.length > 0.0:
                    yield Stroke(shapely.get_coordinates(run), "bending")


def _bars(skin: PanelSkin, across: Floats, foot: float, length: float) -> Iterator[Ink]:
    tall = TALLEST / max(LEAST_SCALE, float(np.abs(skin.twist).max()))
    told = foot + tall * TWIST_TOLD
    yield Stroke(np.array([[0.0, foot], [length, foot]]), "mark")
    yield Stroke(np.array([[0.0, told], [length, told]]), "mark", dashes=(2.0, 1.5))
    yield Label(f"{np.degrees(TWIST_TOLD):.1f}°", (length + 2.0, told), SIZE, anchor="start")
    yield Label("0°", (length + 2.0, foot), SIZE, anchor="start")
    for x, twist in zip(across.tolist(), np.abs(skin.twist).tolist(), strict=True):
        if tall * twist > 0.05:
            yield Stroke(np.array([[x, foot], [x, foot + tall * twist]]), "given")


def _words(skin: PanelSkin, scale: int, show: str, top: float) -> Iterator[Label]:
    twist, x = skin.most
    yield Label(f"{skin.part.title}: twist along its rulings", (0.0, top + 5.0), TITLE_SIZE, anchor="start")
    if not skin.fights:
        words = f"Under {np.degrees(TWIST_TOLD):.1f}° everywhere: a sheet lies on it without being forced."
    else:
        where = f"{np.degrees(twist):.1f}°, {write_length(x, show)} from the fore end"
        words = f"Up to {where}: forced where bars pass the dashes."
    yield Label(f"{words} Scale 1:{scale}.", (0.0, -5.0), SIZE, anchor="start")
