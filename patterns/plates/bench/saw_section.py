"""Sections: the net piece with its angles, and the saw standing on its guide."""

from __future__ import annotations

from collections.abc import Iterator
from math import fsum

import numpy as np

from patterns.drawing.marks import Ink, Label, Stroke
from patterns.geometry.arrays import Floats
from patterns.parts.long.long_pieces import LongPiece, Place
from patterns.plates.bench.bench_page import FIGURES, LEADING, TEXT, Block, paragraph, stacked
from patterns.plates.words.bench_words import bevel_word, degrees
from patterns.shop.saw.edge_views import NEAR
from patterns.shop.saw.guide_room import screw_free
from patterns.shop.saw.saw_setup import Rip, SawSetup
from patterns.units.lengths import write_length

SCALES = (1, 2, 3, 4, 5, 6, 8, 10)  # a scale rule has them, or a builder halves them
GUIDE = np.array([40.0, 19.0])  # mm, a batten's section as drawn
SHOE = 3.0  # mm, thickness of a shoe as drawn
BLADE_ABOVE = 30.0  # mm of blade drawn above the shoe
BRACKET = 10.0  # mm, how far below the stock the bracket is drawn
REST = 45.0  # mm of board drawn past guide or cut
LIES_FLAT = 0.8  # of a unit normal, upright: a piece on the bottom, not on a side


def scale_for(size: float, room: float) -> int:
    return next((scale for scale in SCALES if size / scale <= room), SCALES[-1])


def section(piece: LongPiece, place: Place) -> Floats:
    """(n, 2) mm: lower, upper, far upper, far lower corner; first up the face against the planking, then from it.

    Where that face is planed off below a chine, the chine stands between the lower corner and the upper.
    """
    low, top = (piece.thickness * float(np.tan(angle)) for angle in (place.lower, place.upper))
    lower = [[0.0, place.planed], [place.planed / float(np.tan(place.turn)), 0.0]] if place.planed else [[0.0, 0.0]]
    return np.array([*lower, [piece.width, 0.0], [piece.width + top, piece.thickness], [-low, piece.thickness]])


def net_sections(piece: LongPiece, show: str, *, width: float, both: bool = False) -> Block:
    """The net section at the fore end, amidships and the after end, seen from aft, planking side as it stands."""
    places = (piece.places[0], piece.places[len(piece.places) // 2], piece.places[-1])
    sections = [section(piece, place) for place in places]
    tall = max(float(np.ptp(one[:, 0])) for one in sections)
    scale = scale_for(tall, 55.0)
    if abs(float(places[1].out[2])) > LIES_FLAT:
        return _flat_sections(piece, places, sections, show, width=width, both=both)
    # From aft, starboard is on the right: inside the planking the face against it is starboard's right side.
    side = -1.0 if (piece.part.hand == "starboard") == piece.inside else 1.0
    marks: list[Ink] = []
    each = width / len(places)
    foot = 0.0
    for k, (place, net) in enumerate(zip(places, sections, strict=True)):
        points = np.column_stack([side * net[:, 1], net[:, 0]]) / scale
        points -= [(points[:, 0].min() + points[:, 0].max()) / 2, points[:, 1].max()]
        middle = each * (k + 0.5)
        down = -3 * LEADING * FIGURES - 1.0
        marks.append(Stroke(points + np.array([middle, down]), "cut-outside", closed=True))
        name = ("fore end", place.name or "middle", "after end")[k]
        over = (name, "upper", bevel_word(place.upper))
        marks += [Label(text, (middle, -(n + 0.5) * LEADING * FIGURES), FIGURES) for n, text in enumerate(over)]
        low = down - tall / scale - 0.7 * LEADING * FIGURES - 0.5
        marks.append(Label("lower", (middle, low), FIGURES))
        marks.append(Label(bevel_word(place.lower), (middle, low - LEADING * FIGURES), FIGURES))
        foot = min(foot, low - 1.5 * LEADING * FIGURES)
    planking = "left" if side > 0 else "right"
    told = paragraph(
        f"Finished sections{_of_port(both)} seen from aft, 1:{scale}, planking on the {planking}; "
        f"{write_length(piece.thickness, show)} thick, "
        f"{write_length(piece.width, show)} wide on the face against the planking.",
        width=width,
        size=FIGURES,
    )
    return stacked([Block(tuple(marks), -foot), told], gap=1.0)


def _of_port(both: bool) -> str:
    """Whose section is drawn, where a sheet is for both hands."""
    return " of port (starboard is its mirror image)" if both else ""


def _flat_sections(
    piece: LongPiece, places: tuple[Place, ...], sections: list[Floats], show: str, *, width: float, both: bool
) -> Block:
    """The middle section of a piece on the bottom, as it lies there."""
    net = sections[1]
    scale = scale_for(float(np.ptp(net[:, 0])), width - 4 * TEXT)
    to_upper = 1.0 if places[1].up[1] > 0 else -1.0  # starboard is on the right
    points = np.column_stack([to_upper * net[:, 0], net[:, 1]]) / scale
    points += (width / 2 - (points[:, 0].min() + points[:, 0].max()) / 2, -points[:, 1].max() - 1.0)
    inside = "planking below" if piece.inside else "planking above"
    bevels = " and ".join(dict.fromkeys(bevel_word(angle) for angle in (places[1].lower, places[1].upper)))
    told = paragraph(
        f"Finished section at the middle mark{_of_port(both)} seen from aft, 1:{scale}, {inside}; "
        f"{write_length(piece.thickness, show)} thick, "
        f"{write_length(piece.width, show)} wide, edges {bevels}; the edge named upper is the one to "
        f"{'starboard' if to_upper > 0 else 'port'}.",
        width=width,
        size=FIGURES,
    )
    mark = Stroke(points, "cut-outside", closed=True)
    return stacked([Block((mark,), float(np.ptp(points[:, 1])) + 1.0), told], gap=1.5)


def set_up(
    setup: SawSetup, rip: Rip, board: tuple[Floats, Floats] | None, show: str, *, width: float, both: bool = False
) -> Block:
    """The stock, the blade and the guide in one section, looking along the stock to the sawyer's left."""
    drawn = _SetUp(setup, rip, board)
    low, high = drawn.reach
    scale = scale_for(high - low, width)
    marks = [_scaled(mark, scale) for mark in drawn.ink()]
    top = max(float(m.points[:, 1].max()) for m in marks if isinstance(m, Stroke))
    foot = min(float(m.points[:, 1].min()) for m in marks if isinstance(m, Stroke))
    move = np.array([(width - (high + low) / scale) / 2, -top])
    moved = [Stroke(m.points + move, m.layer, m.closed) for m in marks if isinstance(m, Stroke)]
    words = list(drawn.words(scale, show, move))
    seen = "Port looking forward, starboard looking aft" if both else "Looking forward from the after end"
    told = [f"{'; '.join(drawn.key(show))}.", f"{seen}, 1:{scale}, at the middle mark."]
    drawing = Block((*moved, *words), top - foot)
    return stacked([drawing, *(paragraph(text, width=width, size=FIGURES) for text in told)], gap=0.8)


def _scaled(mark: Ink, scale: int) -> Ink:
    return Stroke(mark.points / scale, mark.layer, mark.closed) if isinstance(mark, Stroke) else mark


class _SetUp:
    """Full size: x is the sheet's y (away from the sawyer to the right), y up from the bench."""

    def __init__(self, setup: SawSetup, rip: Rip, board: tuple[Floats, Floats] | None) -> None:
        self.rip, own, piece = rip, rip.setting, setup.piece
        k = len(piece.places) // 2
        self.place, self.t = piece.places[k], piece.thickness
        net = section(piece, self.place)
        to_upper = rip.edge.out if rip.edge.name == "upper" else -rip.edge.out
        up = self.t - net[:, 1] if rip.edge.up == NEAR else net[:, 1]
        self.net = np.column_stack([to_upper * net[:, 0], up])
        corner = 1 if rip.edge.name == "upper" else 0
        if rip.edge.up != NEAR:
            corner = 2 if rip.edge.name == "upper" else 3
        at = rip.x[k : k + 1]
        self.cut = float(self.net[corner, 0] + rip.edge.out * own.at(at, own.beyond)[0])
        self.foot = self.cut + rip.edge.out * own.aside
        self.guided = own.distance is not None
        self.distance = float((own.distance or 100.0) + own.at(at, own.stand_off)[0])
        self.side = rip.guide_side
        self.guide = self.cut + self.side * self.distance
        self.kerf = setup.saw.kerf / float(np.cos(own.tilt)) * rip.edge.out
        free = screw_free(setup, rip)
        self.no_screws = sorted((self.cut + self.side * free.guide_side, self.cut - self.side * free.other_side))
        self.ends = self._ends(board, float(at[0]), float(own.at(at, own.saw_line[:, 1])[0]))

    def _ends(self, board: tuple[Floats, Floats] | None, x: float, saw_line: float) -> tuple[float, float] | None:
        """Where the board ends either way; after the first rip, at the edge that is sawn."""
        if board is None:
            return None
        low, high = (self.cut + float(np.interp(x, *edge.T)) - saw_line for edge in board)
        if self.rip.guide_on_piece:
            return low, high
        net = self.net[:, 0]
        return (low, float(net.max())) if self.side < 0 else (float(net.min()), high)

    @property
    def packing(self) -> tuple[float, float] | None:
        """From the board's edge to past the guide, where the guide has no board under it."""
        if self.ends is None:
            return None
        far, edge = self.guide + self.side * GUIDE[0], self.ends[1 if self.side > 0 else 0]
        return (edge, far) if (far - edge) * self.side > 0 else None

    @property
    def reach(self) -> tuple[float, float]:
        ends = (*self.net[:, 0], *self.no_screws, self.guide + self.side * GUIDE[0], self.cut - self.side * REST)
        if self.ends is not None:
            # No more of a wide board is drawn than shoe and guide stand on.
            ends = (*ends, *np.clip(self.ends, min(ends) - REST, max(ends) + REST).tolist())
        return float(min(ends)), float(max(ends))

    def ink(self) -> Iterator[Stroke]:
        low, high = self.reach
        t, side = self.t, self.side
        first, last = self.ends if self.ends is not None else (low, high)
        first, last = max(first, low), min(last, high)
        yield Stroke(np.array([[first, 0.0], [last, 0.0]]), "mark")
        yield Stroke(np.array([[first, t], [last, t]]), "mark")
        if self.ends is not None and self.rip.guide_on_piece:
            for end in (end for end in self.ends if low - 1 < end < high + 1):
                yield Stroke(np.array([[end, 0.0], [end, t]]), "mark")
        if self.packing:
            edge, far = sorted(self.packing)
            yield Stroke(_box(edge, far, 0.0, t), "mark", closed=True)
        yield Stroke(self.net, "cut-outside", closed=True)
        left, right = self.no_screws
        points = [[left, -BRACKET / 2], [left, -BRACKET], [right, -BRACKET], [right, -BRACKET / 2]]
        yield Stroke(np.array(points), "mark")
        # The blade: both sides of the kerf, on up past the shoe.
        slope = (self.cut - self.foot) / t
        for shift in (0.0, self.kerf):
            ends = [(self.foot + shift - slope * 4.0, -4.0), (self.cut + shift + slope * BLADE_ABOVE, t + BLADE_ABOVE)]
            yield Stroke(np.array(ends), "mark")
        shoe = sorted((self.guide, self.cut - side * REST * 0.8))
        yield Stroke(_box(shoe[0], shoe[1], t, t + SHOE), "mark", closed=True)
        batten = sorted((self.guide, self.guide + side * GUIDE[0]))
        yield Stroke(_box(batten[0], batten[1], t, t + GUIDE[1]), "cut-inside", closed=True)

    def words(self, scale: int, show: str, move: Floats) -> Iterator[Label]:
        """Letters on the drawing; what they stand for is told beneath."""
        middle = (self.net[:, 0].mean(), self.t / 2)
        spots = [
            ("P", middle),
            ("G", (self.guide + self.side * GUIDE[0] / 2, self.t + GUIDE[1] / 2)),
        ]
        if self.packing and abs(self.packing[1] - self.packing[0]) / scale > 2 * TEXT:
            spots.append(("S", (fsum(self.packing) / 2, self.t / 2)))
        for text, (x, y) in spots:
            yield Label(text, (float(x) / scale + float(move[0]), float(y) / scale + float(move[1])), TEXT)
        slope = (self.cut - self.foot) / self.t
        at = np.array([self.cut + slope * BLADE_ABOVE, self.t + BLADE_ABOVE]) / scale + move
        away = -self.side * 2.0
        yield Label(
            degrees(self.rip.setting.tilt) if self.rip.setting.tilt else "square",
            (float(at[0]) + away, float(at[1]) - 2.0),
            TEXT,
            anchor="end" if away < 0 else "start",
        )

    def key(self, show: str) -> list[str]:
        bevel = self.place.upper if self.rip.edge.name == "upper" else self.place.lower
        told = [f"P the finished piece; from its marked face this edge is {bevel_word(bevel)}"]
        if self.guided:
            told.append(f"G guide batten, {write_length(self.distance, show)} here from the saw line")
        if self.packing:
            told.append("S strip as thick as the stock, beside the board, for the guide to lie on")
        if self.rip.setting.tilt:
            told.append(f"blade leaves the lower face {write_length(abs(self.rip.setting.aside), show)} aside")
        told.append("bracket beneath: no screw or nail")
        return told


def _box(left: float, right: float, low: float, high: float) -> Floats:
    return np.array([[left, low], [right, low], [right, high], [left, high]])
