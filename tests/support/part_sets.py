"""Sets of parts for nesting: random, of the kinds a small boat is made of. Nothing here is imported by the program."""

from __future__ import annotations

import numpy as np
import shapely

from patterns.shop.nest.blanks import Blank


def _panel(length: float, breadth: float, sweep: float, taper: float) -> shapely.Polygon:
    """A side panel: curved the way an unrolled side is, narrower at one end."""
    x = np.linspace(0, length, 25)
    bow = sweep * (1 - (2 * x / length - 1) ** 2)
    half = breadth / 2 * (1 - taper * x / length)
    return shapely.Polygon(np.concatenate([np.stack([x, bow - half], 1), np.stack([x, bow + half], 1)[::-1]]))


def _leaf(length: float, breadth: float) -> shapely.Polygon:
    """Half of a bottom panel: straight across one end, fine at the other."""
    x = np.linspace(0, length, 25)
    half = breadth / 2 * (0.25 + 0.75 * np.sin(np.pi / 2 * x / length))
    return shapely.Polygon(np.concatenate([np.stack([x, -half], 1), np.stack([x, half], 1)[::-1]]))


def _transom(breadth: float, depth: float) -> shapely.Polygon:
    x = np.linspace(-breadth / 2, breadth / 2, 15)
    crown = depth + 0.06 * breadth * (1 - (2 * x / breadth) ** 2)
    foot = np.array([[-0.38 * breadth, 0.0], [0.38 * breadth, 0.0]])
    return shapely.Polygon(np.concatenate([foot, np.stack([x, crown], 1)[::-1]]))


def _frame(breadth: float, depth: float, moulded: float) -> shapely.Polygon:
    """A frame in one piece: a U with its opening above."""
    outer = np.array([[-0.4, 0.0], [0.4, 0.0], [0.5, 1.0], [-0.5, 1.0]]) * (breadth, depth)
    inner = np.array([[-0.5, 1.01], [-0.4, 0.0], [0.4, 0.0], [0.5, 1.01]]) * (breadth - 2 * moulded, depth)
    return shapely.Polygon(outer).difference(shapely.Polygon(np.add(inner, (0.0, moulded))))


def _knee(reach: float) -> shapely.Polygon:
    return shapely.Polygon([(0, 0), (reach, 0), (reach * 0.95, reach * 0.2), (reach * 0.2, reach * 0.9), (0, reach)])


def part_set(seed: int) -> list[Blank]:
    """From a dozen to some thirty pieces, from a pram's to a big skiff's."""
    chance = np.random.default_rng(seed)
    size = chance.uniform(0.7, 1.25)

    def about(mm: float) -> float:
        return float(size * mm * chance.uniform(0.9, 1.1))

    blanks: list[Blank] = []

    def add(name: str, shape: shapely.Polygon, count: int, *, grain: bool) -> None:
        shape = shape if isinstance(shape, shapely.Polygon) else max(shape.geoms, key=lambda g: g.area)
        blanks.extend(Blank(f"{name} {n + 1}", shape, 0.0 if grain else None) for n in range(count))

    for n in range(2):
        length = min(about(1800), 2380)
        add(f"side {n}", _panel(length, about(430), about(60), chance.uniform(0, 0.3)), 2, grain=True)
    for n in range(2):
        add(f"bottom {n}", _leaf(min(about(1700), 2380), min(about(880), 1180)), 1, grain=True)
    add("transom", _transom(about(880), about(380)), 1, grain=True)
    for n in range(int(chance.integers(2, 6))):
        add(f"frame {n}", _frame(about(900), about(420), about(80)), 1, grain=False)
    add("knee", _knee(about(200)), int(chance.integers(2, 7)), grain=False)
    add("seat", shapely.box(0, 0, about(900), about(230)), int(chance.integers(1, 4)), grain=True)
    add("rail", shapely.box(0, 0, min(about(1700), 2380), about(50)), int(chance.integers(0, 5)), grain=True)
    return blanks


def small_part_set(seed: int, share: float) -> list[Blank]:
    """Some thirty to a hundred small pieces, as many as come to a share of one sheet of 2440 by 1220 mm."""
    chance = np.random.default_rng(seed)
    size = chance.uniform(0.7, 1.25)

    def about(mm: float) -> float:
        return float(size * mm * chance.uniform(0.9, 1.1))

    blanks: list[Blank] = []
    area, kind = 0.0, 0
    while True:
        number, pairs, along = int(chance.integers(0, 8)), int(chance.integers(1, 4)), bool(chance.random() < 0.4)
        count = 1 if number in (2, 4, 6) else 2 * pairs
        match number:
            case 0:
                shape, along = _panel(about(420), about(70), about(15), chance.uniform(0, 0.3)), True
            case 1:
                a, b, c = about(180), about(160), about(50)
                shape = shapely.Polygon([(0, 0), (a, 0), (a, c), (c, b), (0, b)])
            case 2:
                shape, along = _floor(about(600), about(110), about(60)), True
            case 3:
                shape = _knee(about(200))
            case 4:
                a, b = about(260), about(300)
                c = 0.4 * a
                shape = shapely.Polygon([(0, 0), (a, b / 2), (a - c, b / 4), (a - c, -b / 4), (a, -b / 2)])
            case 5:
                shape = shapely.box(0, 0, about(160), about(60))
            case 6:
                shape = _frame(about(620), about(300), about(70)).buffer(0)
            case _:
                shape, along = shapely.box(0, 0, about(700), about(45)), True
        for n in range(count):
            if area + shape.area > share * 2440 * 1220:
                return blanks
            area += shape.area
            blanks.append(Blank(f"kind {kind}, {n + 1}", shape, 0.0 if along else None))
        kind += 1


def _floor(breadth: float, depth: float, rise: float) -> shapely.Polygon:
    """A floor timber over a V bottom."""
    x = np.linspace(-breadth / 2, breadth / 2, 9)
    foot = np.stack([x, rise * np.abs(2 * x / breadth)], axis=1)
    return shapely.Polygon([*foot, (0.42 * breadth, depth + rise), (-0.42 * breadth, depth + rise)])
