"""What a shop does to one sheet, layer by layer: how many lines, how long, how deep, with which tool."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import fsum

import numpy as np

from patterns.geometry.arc_lines import ArcLine
from patterns.geometry.arrays import Floats, lengths
from patterns.shop.nest.sheets import FilledSheet
from patterns.shop.router.contours import Contours
from patterns.shop.router.router_rules import RouterLayer


@dataclass(frozen=True, slots=True)
class LayerWork:
    """What lies on one layer of a sheet."""

    layer: RouterLayer
    count: int  # lines, holes or strokes
    length: float  # mm along them; 0 of holes


@dataclass(frozen=True, slots=True)
class SheetWork:
    """All of one sheet."""

    layers: tuple[LayerWork, ...]  # of those that are not empty, the cuts first
    holes: tuple[tuple[float, int], ...]  # mm, diameters of pilot holes, and how many of each
    index: tuple[tuple[float, int], ...] = ()  # the same of index holes

    def of(self, layer: RouterLayer) -> LayerWork:
        """One layer; an empty one where nothing lies on it."""
        return next((one for one in self.layers if one.layer == layer), LayerWork(layer, 0, 0.0))

    @property
    def cut(self) -> float:
        """mm cut through."""
        return self.of("cut-outside").length + self.of("cut-inside").length

    @property
    def piercings(self) -> int:
        """How often the cutter goes down through the sheet."""
        return self.of("cut-outside").count + self.of("cut-inside").count


def sheet_work(sheet: FilledSheet) -> SheetWork:
    """What a sheet's file holds, its outline and the square that is measured first left out."""
    parts = [contours for _, contours in sheet.lying]
    pilots, index = (_holes(parts, index=index) for index in (False, True))
    return SheetWork(tuple(one for one in _layers(parts) if one.count), pilots, index)


def _layers(parts: Sequence[Contours]) -> Iterator[LayerWork]:
    yield _work("cut-outside", [part.outer for part in parts])
    yield _work("cut-inside", [hole for part in parts for hole in part.inner])
    yield LayerWork("drill", sum(len(part.drilled) for part in parts), 0.0)
    scored = [score for part in parts for score in part.scored]
    kinds: tuple[RouterLayer, ...] = ("far-face", "mark", "tab")
    for layer in kinds:
        yield _work(layer, [score.line for score in scored if score.layer == layer])
    words = [part.lettering for part in parts if part.lettering.counts]
    yield _strokes("text-names", [stroke for one in words for stroke in one.strokes[one.bevels :]])
    yield _strokes("text-bevels", [stroke for one in words for stroke in one.strokes[: one.bevels]])


def _work(layer: RouterLayer, lines: Sequence[ArcLine]) -> LayerWork:
    return LayerWork(layer, len(lines), fsum(line.length for line in lines))


def _strokes(layer: RouterLayer, strokes: Sequence[Floats]) -> LayerWork:
    return LayerWork(layer, len(strokes), fsum(float(lengths(np.diff(stroke, axis=0)).sum()) for stroke in strokes))


def _holes(parts: Sequence[Contours], *, index: bool) -> tuple[tuple[float, int], ...]:
    holes = [hole for part in parts for hole in part.drilled if hole.index is index]
    return tuple(sorted(Counter(round(hole.diameter, 3) for hole in holes).items()))
