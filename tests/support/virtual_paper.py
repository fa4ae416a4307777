"""Sheets as a builder meets them: seen only as pixels, joined by their crosses, and measured on the joined paper.

Pages are rendered by PDFium, which shares no code with the program. Crosses are found in the pixels alone; which place
each stands for is read from the figures printed beside it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pypdfium2
import shapely
from numpy.typing import NDArray

from patterns.geometry.arrays import Floats

DPI = 150
PIXEL = 25.4 / DPI  # mm
ARM = 3.4  # mm of a cross's arm that must be dark for it to be seen
DARK = 0.2  # of full black; a hairline lying between two rows of pixels darkens each by a third
NET = 0.5  # mm, the finished line's weight
REACH = 1.6  # mm either side of where the finished line should be, in which it is looked for
BAND = 4.5  # mm; a sheet shows the pattern so far beyond its crosses at least
SPACING = 2.0  # mm between places measured
FIGURES = re.compile(r"(-?\d+), (-?\d+)")
BLURRED, FEWEST = 0.1, 5  # mm off, and how many crosses there must be, for one to be left out


@dataclass(frozen=True)
class Sheet:
    """One printed page: its pixels, and how big they came out."""

    dark: NDArray[np.float32]  # rows from the top
    size: tuple[float, float]  # mm, of the paper
    scale: tuple[float, float]  # what the printer made of a millimetre, across and up the page
    figures: tuple[tuple[str, float, float], ...]  # texts, and where they begin on the page, mm

    def to_paper(self, places: Floats) -> Floats:
        """Places of the file, mm from its lower left corner, where they come to lie on paper."""
        middle = np.array(self.size) / 2
        return np.asarray((places - middle) * self.scale + middle)

    def to_pixels(self, paper: Floats) -> Floats:
        """Columns and rows of places on paper, (n, 2)."""
        middle = np.array(self.size) / 2
        x, y = ((paper - middle) / self.scale + middle).T
        return np.column_stack([x / PIXEL - 0.5, self.dark.shape[0] - y / PIXEL - 0.5])


def sheets(data: bytes, *, scale: tuple[float, float] = (1.0, 1.0)) -> list[Sheet]:
    """The pages of a file as a printer prints them that makes a millimetre ``scale`` mm, across and down the paper."""
    document = pypdfium2.PdfDocument(data)
    found = []
    for page in document:
        image = page.render(scale=DPI / 72, grayscale=True).to_numpy()
        dark = 1.0 - np.asarray(image, dtype=np.float32).squeeze() / 255.0
        width, height = (side * 25.4 / 72 for side in page.get_size())
        by = scale if width <= height else scale[::-1]  # a page on its side is turned before it is printed
        found.append(Sheet(dark, (width, height), by, _figures(page)))
    return found


def _figures(page: pypdfium2.PdfPage) -> tuple[tuple[str, float, float], ...]:
    """Every pair of figures on a page, and the middle of its letters, mm."""
    text = page.get_textpage()
    words, found = text.get_text_range(), []
    for match in FIGURES.finditer(words):
        boxes = np.array([text.get_charbox(k) for k in range(match.start(), match.end())]) * 25.4 / 72
        x, y = (boxes[:, 0].min() + boxes[:, 2].max()) / 2, (boxes[:, 1].min() + boxes[:, 3].max()) / 2
        found.append((match[0], float(x), float(y)))
    return tuple(found)


def crosses_in(sheet: Sheet) -> Floats:
    """Where on paper two hairlines cross square, arms and all, (n, 2) mm."""
    dark, arm = sheet.dark > DARK, round(ARM / PIXEL)
    middle = dark[arm:-arm, arm:-arm].copy()
    for away in (*range(-arm, 0, 2), *range(2, arm + 1, 2)):
        middle &= dark[arm:-arm, arm + away : dark.shape[1] - arm + away]
        middle &= dark[arm + away : dark.shape[0] - arm + away, arm:-arm]
    rows, columns = np.nonzero(middle)
    places: list[Floats] = []
    for row, column in zip((rows + arm).tolist(), (columns + arm).tolist(), strict=True):
        if any(abs(column - x) < 4.0 and abs(row - y) < 4.0 for x, y in places):
            continue
        centre = _centre(sheet.dark, row, column)
        if centre is not None and all(np.abs(centre - place).max() > 3.0 for place in places):
            places.append(centre)
    height = sheet.dark.shape[0]
    file = np.array([((x + 0.5) * PIXEL, (height - y - 0.5) * PIXEL) for x, y in places]).reshape(-1, 2)
    return sheet.to_paper(file)


def _centre(dark: NDArray[np.float32], row: int, column: int) -> Floats | None:
    """The middle of a cross in pixels: the median of its arms' middles, each in its own row or column."""
    low, high, side = round(1.2 / PIXEL), round(3.2 / PIXEL), 3
    arms = np.concatenate([np.arange(-high, -low), np.arange(low + 1, high + 1)])
    around = np.arange(-side, side + 1)
    if not (high < row < dark.shape[0] - high - 1 and high < column < dark.shape[1] - high - 1):
        return None
    upright, level = dark[np.ix_(row + arms, column + around)], dark[np.ix_(row + around, column + arms)]
    x = column + np.median(upright @ around / np.maximum(upright.sum(axis=1), 1e-6))
    y = row + np.median(around @ level / np.maximum(level.sum(axis=0), 1e-6))
    return np.array([x, y])


@dataclass(frozen=True)
class Laid:
    """A sheet laid in its place: paper turned and moved, never stretched."""

    sheet: Sheet
    turn: Floats  # (2, 2)
    shift: Floats  # (2,) mm
    crosses: int  # it was laid by
    off: float  # mm, the worst of them
    field: tuple[Floats, Floats]  # mm on paper, lower left and upper right of what its crosses frame

    def shows(self, paper: Floats) -> NDArray[np.bool_]:
        """Which of (n, 2) places on paper lie on the part of the sheet that holds the pattern."""
        return np.asarray(((paper > self.field[0]) & (paper < self.field[1])).all(axis=1))

    def on_pattern(self, paper: Floats) -> Floats:
        return np.asarray(paper @ self.turn + self.shift)

    def on_paper(self, pattern: Floats) -> Floats:
        return np.asarray((pattern - self.shift) @ self.turn.T)


def laid(sheet: Sheet) -> Laid:
    """A sheet laid with its crosses where their figures say."""
    seen = crosses_in(sheet)
    field = seen.min(axis=0) - BAND, seen.max(axis=0) + BAND
    offset = _offset(sheet, seen)
    figured = np.array([[float(figure) for figure in text.split(", ")] for text, _, _ in sheet.figures])
    off = np.abs((seen - offset)[:, None] - figured).max(axis=2)
    # What crosses square without figures beside it is pattern, or another sheet's to say.
    register = off.min(axis=1) < 2.5
    seen, wanted = seen[register], figured[off.argmin(axis=1)][register]
    turn, shift, off = _fitted(seen, wanted)
    if off.max() > BLURRED and len(seen) > FEWEST:
        # A line of the pattern that runs along an arm hides the arm's middle; a builder lays the sheet by the others.
        clear = off < off.max()
        seen, wanted = seen[clear], wanted[clear]
        turn, shift, off = _fitted(seen, wanted)
    return Laid(sheet, turn, shift, len(seen), float(off.max()), field)


def _fitted(seen: Floats, wanted: Floats) -> tuple[Floats, Floats, Floats]:
    """The turn and the shift that lay crosses best where they are wanted, and how far off each is then, mm."""
    from_middle, to_middle = seen - seen.mean(axis=0), wanted - wanted.mean(axis=0)
    angle = np.arctan2(
        (from_middle[:, 0] * to_middle[:, 1] - from_middle[:, 1] * to_middle[:, 0]).sum(),
        (from_middle * to_middle).sum(),
    )
    turn = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
    shift = wanted.mean(axis=0) - seen.mean(axis=0) @ turn
    return turn, shift, np.abs(seen @ turn + shift - wanted).max(axis=1)


def _offset(sheet: Sheet, seen: Floats) -> Floats:
    """Paper less pattern, mm: what most crosses and the figures beside them agree on."""
    guesses = []
    for text, x, y in sheet.figures:
        place = np.array([float(figure) for figure in text.split(", ")])
        at = sheet.to_paper(np.array([[x, y]]))[0]
        guesses += [cross - place for cross in seen[np.abs(seen - at).max(axis=1) < 22.0]]
    every = np.array(guesses)
    votes = [(np.abs(every - guess).max(axis=1) < 2.5).sum() for guess in every]
    best = every[int(np.argmax(votes))]
    return np.asarray(every[np.abs(every - best).max(axis=1) < 2.5].mean(axis=0))


def net_line_off(joined: Sequence[Laid], outline: Floats) -> Floats:
    """How far the finished line on the joined pages lies off ``outline``, mm, every `SPACING`; nan where missing.

    Measured square to the outline, the middle of the heaviest line near by; a median of five places takes out what
    crosses it. Places nearer a corner than the line is looked for are measured by its two sides alone.
    """
    ring = shapely.LinearRing(outline)
    along = np.arange(0.0, ring.length, SPACING)
    places = shapely.get_coordinates(shapely.line_interpolate_point(ring, along))
    ahead = shapely.get_coordinates(shapely.line_interpolate_point(ring, (along + 0.2) % ring.length))
    ahead = (ahead - places) / np.maximum(np.linalg.norm(ahead - places, axis=1, keepdims=True), 1e-9)
    off = np.full(len(places), np.nan)
    for one in joined:
        paper = one.on_paper(places)
        seen = one.shows(paper)
        across = (np.column_stack([-ahead[:, 1], ahead[:, 0]]) @ one.turn.T)[seen]
        found = _heavy_line(one.sheet, paper[seen], across)
        old = off[seen]
        off[seen] = np.where(np.isnan(old) | (np.abs(found) > np.abs(old)), found, old)
    corner = np.zeros(len(places), dtype=bool)
    bends = _corners(outline)
    if len(bends):
        corner = np.asarray(shapely.distance(shapely.multipoints(bends), shapely.points(places)) < REACH + 0.6)
    stack = np.stack([np.roll(off, shift) for shift in range(-2, 3)])
    return np.asarray(np.nanmedian(stack, axis=0)[~corner & ~np.isnan(stack).all(axis=0)])


def missing(joined: Sequence[Laid], outline: Floats) -> int:
    """How many places of the outline are on no sheet."""
    ring = shapely.LinearRing(outline)
    places = shapely.get_coordinates(shapely.line_interpolate_point(ring, np.arange(0.0, ring.length, SPACING)))
    shown = np.zeros(len(places), dtype=bool)
    for one in joined:
        paper = one.on_paper(places)
        inside = one.shows(paper)
        columns, rows = np.round(one.sheet.to_pixels(paper[inside])).astype(int).T
        near = [one.sheet.dark[rows + up, columns + across] for up in (-1, 0, 1) for across in (-1, 0, 1)]
        shown[inside] |= np.max(near, axis=0) > 0.8
    return int(np.count_nonzero(~shown))


def _corners(outline: Floats) -> Floats:
    ahead = np.roll(outline, -1, axis=0) - outline
    way = np.arctan2(ahead[:, 1], ahead[:, 0])
    turn = np.abs((way - np.roll(way, 1) + np.pi) % (2 * np.pi) - np.pi)
    return outline[turn > 0.15]


def _heavy_line(sheet: Sheet, paper: Floats, across: Floats) -> Floats:
    """How far to the left of each place the middle of the finished line lies, mm; nan where there is none."""
    step = 0.04
    reach = np.arange(-REACH - NET, REACH + NET + step / 2, step)
    points = paper[:, None] + reach[None, :, None] * across[:, None]
    dark = _between(sheet.dark, sheet.to_pixels(points.reshape(-1, 2))).reshape(len(paper), len(reach))
    wide = round(NET / step)
    total = np.cumsum(np.pad(dark, ((0, 0), (1, 0))), axis=1)
    boxes = (total[:, wide:] - total[:, :-wide]) / wide
    # Of all that is as dark as the finished line, such as the stems of large letters, the nearest.
    middles = reach[: boxes.shape[1]] + NET / 2
    best = np.where(boxes > 0.85 * boxes.max(axis=1, keepdims=True), np.abs(middles), np.inf).argmin(axis=1)
    # The middle of the ink about the best place, far enough out for the blurred edges and no further.
    spread = round(0.22 / step)
    columns = np.clip(best[:, None] + np.arange(-spread, wide + spread)[None, :], 0, len(reach) - 1)
    ink = np.take_along_axis(dark, columns, axis=1)
    middle = (ink * reach[columns]).sum(axis=1) / np.maximum(ink.sum(axis=1), 1e-6)
    return np.where(boxes.max(axis=1) > 0.75, middle, np.nan)


def _between(dark: NDArray[np.float32], pixels: Floats) -> Floats:
    """Darkness between pixels, by the four around."""
    columns, rows = pixels.T
    x, y = np.floor(columns).astype(int), np.floor(rows).astype(int)
    x, y = np.clip(x, 0, dark.shape[1] - 2), np.clip(y, 0, dark.shape[0] - 2)
    u, v = columns - x, rows - y
    upper = dark[y, x] * (1 - u) + dark[y, x + 1] * u
    lower = dark[y + 1, x] * (1 - u) + dark[y + 1, x + 1] * u
    return np.asarray(upper * (1 - v) + lower * v)
