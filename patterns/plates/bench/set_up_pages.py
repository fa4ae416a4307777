"""The setting-up sheet: a picture of what stands where, then each step with boxes to tick and rules to write on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from patterns.drawing.marks import Drawing, Ink, Label, Stroke
from patterns.drawing.text import cut_short, text_width, without_strangers, wrapped
from patterns.geometry.arrays import Floats
from patterns.parts.hazards import LIFTING
from patterns.plates.view_field import LEAD, SCALES, upright_names
from patterns.shop.layout.setting_up import Check, SettingUp, Step

SIZE = 2.5  # mm, capitals of the checks
DEED_SIZE = 3.0  # mm
TITLE_SIZE = 4.5  # mm
ROW = 6.2  # mm from check to check: room to write
BOX = 3.2  # mm, of a box to tick
RULE = 19.0  # mm to write one figure on
EXPECTED = 27.0  # mm for what is expected
LEADING = 1.75  # line spacing, in heights of a capital
NAME_SIZE = 0.8 * SIZE  # mm, of frames in the picture
BESIDE = 15.0  # mm left of the picture
FOOT = 12.0  # mm under it, for frames' names in two rows
LONGEST_UPRIGHT = 45.0  # mm; longer names of frames are lettered smaller
PICTURE = 62.0  # mm, the most a picture may be high
ROWS = 24  # checks in one block, so that a block goes on a page


def set_up_sheets(plan: SettingUp, *, width: float) -> Iterator[Drawing]:
    """Blocks no wider than ``width`` mm, to be set one under another."""
    yield _picture(plan, width)
    for step in plan.steps:
        parts = [step.checks[n : n + ROWS] for n in range(0, len(step.checks), ROWS)] or [()]
        for n, checks in enumerate(parts):
            yield _block(step, checks, width, part=n)


def _picture(plan: SettingUp, width: float) -> Drawing:
    """The boat's profile as it stands in the shop: frames' faces, sheer, chine, ends, and the line heights run from."""
    lines = list(_lines(plan))
    points = np.concatenate([*lines, [[0.0, 0.0], [plan.length, 0.0]]])
    low, size = points.min(axis=0), np.ptp(points, axis=0)
    scale = next(s for s in SCALES if size[0] / s <= width - 30.0 and size[1] / s <= PICTURE - 22.0)

    names = [f"{without_strangers(frame.name)}  {plan.tape(frame.running)}" for frame in plan.frames]
    across = [float((frame.running - low[0]) / scale + BESIDE) for frame in plan.frames]
    foot = _foot(names, across, width)

    def on_paper(line: Floats) -> Floats:
        return np.asarray((line - low) / scale + (BESIDE, foot))

    ink: list[Ink] = [Stroke(on_paper(line), "line") for line in lines]
    ink += [Stroke(on_paper(np.array(end.profile)), "line") for end in plan.ends]
    base = on_paper(np.array([[min(0.0, low[0]), 0.0], [max(plan.length, low[0] + size[0]), 0.0]]))
    ink.append(Stroke(base, "cut-outside"))
    for frame in plan.frames:
        top = max(corner.height for corner in frame.corners)
        ink.append(Stroke(on_paper(np.array([[frame.running, 0.0], [frame.running, top]])), "mark"))
    ink += _names(names, across, float(base[0, 1]), foot)
    top = float(on_paper(points)[:, 1].max())
    ink += _heading(plan, width, top + 8.0, scale)
    return Drawing(f"{plan.boat}: setting up", "setting-up", tuple(ink))


def _lines(plan: SettingUp) -> Iterator[Floats]:
    """(n, 2) mm: distance from FP and height in the shop, along the sheer and along each line below it.

    The sheer and the lowest line run to the ends; a line between them from the first frame to the last.
    """
    count = max((len(frame.corners) for frame in plan.frames), default=2)
    first, last = ([[place.running, place.height] for place in end.places] for end in plan.ends)
    for number in range(count):
        if plan.rabbet and number == count - 1:
            # Of a mould the corner at the keel is on the inside of the planking: no fair line with the ends.
            yield np.array(plan.rabbet)
            continue
        line = [[frame.running, frame.corners[number].height] for frame in plan.frames]
        if number in (0, count - 1):
            end = 0 if number == 0 else -1
            line = [first[end], *line, last[end]]
        yield np.array(line)


def _names(words: Sequence[str], across: Sequence[float], base: float, foot: float) -> Iterator[Ink]:
    """Names of frames and running distances under the line that heights run from, in two rows or upright."""
    if foot > FOOT:
        yield from upright_names(words, across, top=base, size=NAME_SIZE, most=foot - LEAD - 2.0)
        return
    for text, x, row in zip(words, across, _rows(words, across), strict=True):
        yield Label(text, (x, base - 3.5 - 4.0 * row), NAME_SIZE)


def _rows(words: Sequence[str], across: Sequence[float]) -> list[int]:
    """In which row each name has room; 2 where it has none in two."""
    last, rows = [-np.inf, -np.inf], []
    for text, x in zip(words, across, strict=True):
        half = text_width(text, NAME_SIZE) / 2
        row = next((row for row in (0, 1) if x - half > last[row]), 2)
        rows.append(row)
        if row < 2:
            last[row] = x + half + 1.5
    return rows


def _foot(words: Sequence[str], across: Sequence[float], width: float) -> float:
    """mm under the picture for the frames' names: more where they must stand upright."""
    halves = [text_width(text, NAME_SIZE) / 2 for text in words]
    on_sheet = all(half <= min(x, width - x) for half, x in zip(halves, across, strict=True))
    if on_sheet and 2 not in _rows(words, across):
        return FOOT
    return LEAD + 2.0 + min(2 * max(halves), LONGEST_UPRIGHT)


def _heading(plan: SettingUp, width: float, up: float, scale: int) -> Iterator[Ink]:
    way = f"{plan.way}: heights run up from {plan.datum_name}"
    words = [f"Built {way}. Distances run aft from FP, the zero. Picture 1:{scale}."]
    words += [f"{plan.assumed[:1].upper()}{plan.assumed[1:]}."] if plan.assumed else []
    words.append(
        f"Figures of {plan.called}s are to the inside of the planking, on the named face. "
        "Write what you measure beside it."
    )
    words.append(LIFTING)
    rows = [row for text in words for row in wrapped(without_strangers(text), size=SIZE, width=width)]
    for row in rows[::-1]:
        yield Label(row, (0.0, up), SIZE, anchor="start")
        up += LEADING * SIZE
    title = wrapped(without_strangers(f"{plan.boat}: setting up"), size=TITLE_SIZE, width=width)
    for n, row in enumerate(title[::-1]):
        at = (0.0, up + 3.0 + n * LEADING * TITLE_SIZE)
        yield Label(cut_short(row, size=TITLE_SIZE, width=width), at, TITLE_SIZE, anchor="start")


def _block(step: Step, checks: Sequence[Check], width: float, *, part: int) -> Drawing:
    """A step and some of its checks, from the top down; y = 0 at its foot."""
    deed = f"{step.number}. {step.deed}" if part == 0 else f"{step.number}, continued"
    rows = wrapped(without_strangers(deed), size=DEED_SIZE, width=width)
    high = LEADING * DEED_SIZE * len(rows) + ROW * len(checks) + 2.0
    ink: list[Ink] = [
        Label(row, (0.0, high - LEADING * DEED_SIZE * (n + 0.5)), DEED_SIZE, anchor="start")
        for n, row in enumerate(rows)
    ]
    top = high - LEADING * DEED_SIZE * len(rows)
    for n, check in enumerate(checks):
        ink += _check(check, top - ROW * (n + 0.6), width)
    return Drawing(f"step {step.number}", f"setting-up-{step.number}-{part}", tuple(ink))


def _check(check: Check, y: float, width: float) -> Iterator[Ink]:
    low, high = y - BOX / 2, y + BOX / 2
    yield Stroke(np.array([[0.0, low], [BOX, low], [BOX, high], [0.0, high]]), "mark", closed=True)
    right = width - 2 * (RULE + 5.0)
    what, room = without_strangers(check.what), right - BOX - 2.5 - (EXPECTED if check.expected else 0.0)
    size = min(SIZE, SIZE * room / text_width(what, SIZE))
    yield Label(what, (BOX + 2.5, y), size, anchor="start")
    if check.expected:
        yield Label(check.expected, (right - 2.0, y), SIZE, anchor="end")
    if not check.expected and check.boxes == 1:
        return
    for n, hand in enumerate(("P", "S") if check.boxes == 2 else ("",)):
        start = right + n * (RULE + 5.0)
        if hand:
            yield Label(hand, (start + 1.5, y), SIZE)
        yield Stroke(np.array([[start + 4.0, y - SIZE / 2], [start + 4.0 + RULE, y - SIZE / 2]]), "mark")
