"""A view of the whole boat on one sheet: where it lies and its two scales, the grid it is read by, its words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from patterns.drawing.label_placing import Request
from patterns.drawing.marks import Drawing, Ink, Label, Stroke
from patterns.drawing.text import text_width, without_strangers, wrapped
from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats

SCALES = (1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 16, 20, 24, 25, 30, 32, 40, 48, 50, 60, 64, 80, 96, 100, 150, 200, 400, 1000)
TITLE_SIZE = 4.5  # mm, capitals
NAME_SIZE = 3.0  # mm
NOTE_SIZE = 2.4  # mm
LEADING = 1.9  # line spacing of notes, in heights of a capital
HEAD = 12.0  # mm at the top, for the title
SIDE = 16.0  # mm left and right of the view, for names of ends
FOOT = 22.0  # mm under the view, for names of stations
BETWEEN = 1.2  # mm between one station's name and the next
LEAD = 3.0  # mm down from a station's line to a name set upright
FENCE = 60.0  # mm beyond the page's edges that names are kept out of
MOST_FOOT = 0.3  # of the page's height, for names set upright; longer ones are lettered smaller

Station = tuple[str, float, str]  # its name, mm from FP, and that in words


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """A view as drawn, and what must be said of it beside its drawing or on it."""

    drawing: Drawing
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Field:
    """Where a view lies on its sheet."""

    low: tuple[float, float]  # mm in the boat, the view's lower left corner
    at: tuple[float, float]  # mm on paper, the same corner
    along: int  # 1 mm on paper is so many in the boat, from left to right
    up: int  # and from below upward
    width: float  # mm on paper
    height: float  # mm on paper

    def on_paper(self, points: Floats) -> Floats:
        """(n, 2) mm in the boat to (n, 2) mm on paper."""
        return (points - self.low) / (self.along, self.up) + self.at

    def one_on_paper(self, x: float, y: float) -> tuple[float, float]:
        [[across, up]] = self.on_paper(np.array([[x, y]])).tolist()
        return across, up

    @property
    def scale(self) -> str:
        if self.along == self.up:
            return f"Scale 1:{self.up}."
        return f"Scale 1:{self.along} along the boat, 1:{self.up} across it."


@dataclass(frozen=True, slots=True)
class KeptFree:
    """Heights of a page that a view leaves to others, mm."""

    notes: float  # at its foot
    clear: float  # above and below the view, for what is drawn beside its lines
    foot: float = FOOT  # under the view, for names of stations (`foot_for`)


@dataclass(frozen=True, slots=True)
class Manner:
    """How the views of one lines drawing are drawn."""

    paper: tuple[float, float]  # mm, width and height that each view fills
    times: int  # so many times full size moves are drawn
    lettered: bool  # whether title and notes are lettered on the drawings


def field(
    low: tuple[float, float],
    high: tuple[float, float],
    free: KeptFree,
    *,
    paper: tuple[float, float],
    same_scale: bool = False,
) -> Field:
    """The largest round scales at which a view from ``low`` to ``high`` (mm in the boat) fits its sheet.

    Parameters
    ----------
    paper : mm
        Width and height of the room on the page.
    same_scale : bool
        Whether both directions must have one scale; otherwise each has its own, as a loft contracts its lengths.

    Raises
    ------
    ShapeError
        A boat that no scale brings onto the paper.
    """
    room = (paper[0] - 2 * SIDE, paper[1] - HEAD - free.foot - free.notes - 2 * free.clear)
    span = (max(high[0] - low[0], 1.0), max(high[1] - low[1], 1.0))
    along, up = (_scale(size, place) for size, place in zip(span, room, strict=True))
    if same_scale:
        along = up = max(along, up)
    width, height = span[0] / along, span[1] / up
    at = ((paper[0] - width) / 2, free.notes + free.foot + free.clear + (room[1] - height) / 2)
    return Field(low, at, along, up, width, height)


def _scale(span: float, room: float) -> int:
    for scale in SCALES:
        if span / scale <= room:
            return scale
    raise ShapeError(f"a boat {span / 1000:.0f} m long or high is too large for a page of lines")


def notes_height(notes: Sequence[str], *, width: float) -> float:
    """Height of the notes at the foot of a sheet ``width`` mm wide."""
    return NOTE_SIZE * LEADING * len(_note_lines(notes, width))


def words(title: str, notes: Sequence[str], *, paper: tuple[float, float]) -> Iterator[Ink]:
    """The title at the head of a sheet and the notes at its foot."""
    width, height = paper
    yield Label(without_strangers(title), (0.0, height - TITLE_SIZE), TITLE_SIZE, anchor="start")
    lines = _note_lines(notes, width)
    for place, line in enumerate(lines):
        up = NOTE_SIZE * LEADING * (len(lines) - place - 0.5)
        yield Label(line, (0.0, up), NOTE_SIZE, anchor="start")


def _note_lines(notes: Sequence[str], width: float) -> list[str]:
    return [line for note in notes for line in wrapped(without_strangers(note), size=NOTE_SIZE, width=width)]


def fence(paper: tuple[float, float]) -> Iterator[Stroke]:
    """Lines round a sheet, not to be drawn, that keep names from being placed beyond its edges."""
    width, height = paper
    for out in np.arange(0.0, FENCE, NAME_SIZE).tolist():
        ring = [[-out, -out], [width + out, -out], [width + out, height + out], [-out, height + out]]
        yield Stroke(np.array(ring), "mark", closed=True)


def station_lines(place: Field, stations: Sequence[Station], *, clear: float) -> Iterator[Stroke]:
    """An upright line at each station: its name, mm from FP, and that distance in words."""
    low, high = place.at[1] - clear, place.at[1] + place.height + clear
    for _, x, _ in stations:
        across, _ = place.one_on_paper(x, 0.0)
        yield Stroke(np.array([[across, low - 2.0], [across, high]]), "mark")


def foot_for(place: Field, stations: Sequence[Station], *, height: float) -> float:
    """mm under a view that its stations' names need, on a sheet so high; ``place`` is the view with the usual foot."""
    if _side_by_side(place, stations):
        return FOOT
    return upright_foot(_longest(_whole(stations), NAME_SIZE), height=height)


def upright_foot(longest: float, *, height: float) -> float:
    """mm under a view for names up to so long that hang upright, on a sheet so high."""
    return min(longest + 8.0, MOST_FOOT * height)


def station_names(place: Field, stations: Sequence[Station], *, clear: float, foot: float = FOOT) -> Iterator[Ink]:
    """Names of the stations under the view, and how far each stands from FP, upright where room is short.

    Names too long for two rows stand upright together with the distance, no longer than ``foot`` (mm) has room for.
    """
    low, across = place.at[1] - clear, _across(place, stations)
    if not _side_by_side(place, stations):
        yield from upright_names(_whole(stations), across, top=low - 2.0, size=NAME_SIZE, most=foot - 8.0)
        return
    room = _apart(across, 1, place.width)
    names = [without_strangers(name) for name, _, _ in stations]
    crowded = _longest(names, NAME_SIZE) > room
    for number, (name, x) in enumerate(zip(names, across, strict=True)):
        yield Label(name, (x, low - 5.0 - (4.5 if crowded and number % 2 else 0.0)), NAME_SIZE)
    distances = [distance for _, _, distance in stations]
    longest = _longest(distances, NOTE_SIZE)
    for distance, x in zip(distances, across, strict=True):
        if longest <= room:
            yield Label(distance, (x, low - 10.0), NOTE_SIZE)
        elif not crowded and longest <= FOOT - 8.0 and room > NOTE_SIZE:
            yield Label(distance, (x, low - 8.0), NOTE_SIZE, angle=np.pi / 2, anchor="end")


def upright_names(
    names: Sequence[str], across: Sequence[float], *, top: float, size: float, most: float
) -> Iterator[Ink]:
    """Names hanging upright under lines at ``across`` (mm, growing) that end at ``top``, led to where lines are close.

    ``size`` is made smaller until no name is longer than ``most`` (mm).
    """
    size *= min(1.0, most / max(_longest(names, size), 1.0))
    step = size * LEADING * np.arange(len(across))
    loose = np.asarray(across) - step
    # Pushed only aft, and only forward, names stand far enough apart; so they do half way between.
    pushed = (np.maximum.accumulate(loose) + np.minimum.accumulate(loose[::-1])[::-1]) / 2 + step
    for name, line, x in zip(names, across, pushed.tolist(), strict=True):
        yield Stroke(np.array([[line, top], [x, top - LEAD]]), "mark")
        yield Label(name, (x, top - LEAD - BETWEEN), size, angle=np.pi / 2, anchor="end")


def _across(place: Field, stations: Sequence[Station]) -> list[float]:
    return [place.one_on_paper(x, 0.0)[0] for _, x, _ in stations]


def _whole(stations: Sequence[Station]) -> list[str]:
    return [without_strangers(f"{name},  {distance}") for name, _, distance in stations]


def _longest(texts: Sequence[str], size: float) -> float:
    return max((text_width(text, size) for text in texts), default=0.0)


def _apart(across: Sequence[float], every: int, width: float) -> float:
    """mm between names, each no wider than this, of every so many'th station."""
    return float((np.array(across[every:]) - across[:-every]).min(initial=width)) - BETWEEN


def _side_by_side(place: Field, stations: Sequence[Station]) -> bool:
    """Whether the names can stand level in two rows, on the sheet."""
    across, names = _across(place, stations), [without_strangers(name) for name, _, _ in stations]
    longest = _longest(names, NAME_SIZE)
    edge = min((min(x, 2 * place.at[0] + place.width - x) for x in across), default=longest)
    return longest <= _apart(across, 2, 2 * place.width) and longest <= 2 * edge


def level_line(place: Field, height: float) -> Stroke:
    """A level line through the view, such as the base or the centre line; ``height`` in mm in the boat."""
    _, up = place.one_on_paper(0.0, height)
    return Stroke(np.array([[place.at[0] - 4.0, up], [place.at[0] + place.width + 4.0, up]]), "mark")


def level_name(place: Field, text: str, height: float) -> Request:
    across, up = place.one_on_paper(place.low[0] + place.along * place.width, height)
    spots = np.array([(across - 12.0 * n, up + side, 0.0) for n in range(1, 12) for side in (-2.6, 2.6)])
    return Request(text, NOTE_SIZE, spots, (across, up))
