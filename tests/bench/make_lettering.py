"""Make the lettering in shared/fonts again from where it comes from: `.venv/bin/python tests/bench/make_lettering.py`.

It needs the Debian package fonts-dejavu-core (DejaVu 2.37), fonttools, and `pip install hershey-fonts==2.1.0`.
To add characters, add them here, run it, and run tests/test_drawing_text.py and tests/test_drawing_engraving.py.
"""

from __future__ import annotations

import json
import unicodedata
from pathlib import Path
from typing import Any

from fontTools import subset
from fontTools.ttLib import TTFont
from HersheyFonts import HersheyFonts

FONTS = Path(__file__).parents[2] / "shared" / "fonts"
DEJAVU = "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf"

# --- Printed: a subset of DejaVu Sans ---

ALPHABETS = (
    (0x20, 0x7F),  # plain Latin
    (0xA0, 0x250),  # Latin with its accents
    (0x1E00, 0x1F00),
    (0x370, 0x400),  # Greek
    (0x1F00, 0x2000),
    (0x400, 0x530),  # Cyrillic
)
SIGNS = "⅛¼⅜½⅝¾⅞⅓⅔ ′″‴–—‒−‐‑→←↑↓↔↕∠℄²≤≥≠≈⌀·…✕△▲▽▼●○◎⊗⊙⊕□■√∞•†‡‘’‚“”„‹›ʹʺʻʼ‰ɓɔɖɗəɛɠɣɨɩɲʉʊʋʒ€™½×÷⁄№☐✓"
TALL = (0.77, 0.98, 1.07)  # em above the baseline: plain letters, capitals with an accent, with one on another
SLACK = 0.035  # em that a letter may reach out of its box


def printed() -> None:
    known = TTFont(DEJAVU).getBestCmap()
    wanted = {code for first, end in ALPHABETS for code in range(first, end)} | set(map(ord, SIGNS))
    wanted = {code for code in wanted & known.keys() if unicodedata.category(chr(code))[0] not in "CM"}
    options = subset.Options(layout_features=[], hinting=False, recalc_timestamp=False)
    options.drop_tables += ["MATH", "GPOS", "GSUB", "GDEF", "FFTM"]  # no writer of ours sets by them
    font = subset.load_font(DEJAVU, options)
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=wanted)
    cutter.subset(font)
    subset.save_font(font, str(FONTS / "DejaVuSans.ttf"), options)
    measure(TTFont(FONTS / "DejaVuSans.ttf"))


def measure(font: TTFont) -> None:
    """What text is measured by without opening the font: advances, and the letters that stand tall."""
    em, advances, letters = font["head"].unitsPerEm, font["hmtx"], sorted(font.getBestCmap().items())
    write("widths.json", {chr(code): round(advances[name][0] / em, 6) for code, name in letters})
    tall: dict[str, str] = {}
    for code, name in letters:
        glyph = font["glyf"][name]
        top = glyph.yMax / em if glyph.numberOfContours else 0.0
        step = next(step for step in TALL if top <= step + SLACK)
        if step > TALL[0]:
            tall[str(step)] = tall.get(str(step), "") + chr(code)
    write("tall.json", tall)


# --- Engraved: single strokes, x from 0 to the advance, y up from the baseline, capitals 21 high ---

Strokes = list[list[list[float]]]
Glyph = tuple[float, Strokes]

CAPITAL, SMALL = 21, 14  # high
DOT: Strokes = [[[0, 2], [-1, 1], [0, 0], [1, 1], [0, 2]]]
COMMA: Strokes = [[[0, 5], [1, 4], [1, 3], [0, 1], [-1, 0]]]
BREVE: Strokes = [[[-4, 4], [-3, 1], [-1, 0], [1, 0], [3, 1], [4, 4]]]
TILDE: Strokes = [[[-5, 0], [-4, 2], [-2, 3], [2, 1], [4, 2], [5, 4]]]
ACUTE: Strokes = [[[3, 5], [-1, 0]]]
RING: Strokes = [[[0, 5], [-2, 4], [-3, 2.5], [-2, 1], [0, 0], [2, 1], [3, 2.5], [2, 4], [0, 5]]]


def moved(strokes: Strokes, x: float, y: float = 0, *, across: float = 1, up: float = 1) -> Strokes:
    return [[[round(across * a + x, 2), round(up * b + y, 2)] for a, b in stroke] for stroke in strokes]


# Accents about x = 0, from y = 0 up; drawn for this project.
ACCENTS: dict[int, Strokes] = {
    0x300: moved(ACUTE, 0, across=-1),
    0x301: ACUTE,
    0x302: [[[-4, 0], [0, 5], [4, 0]]],
    0x303: TILDE,
    0x304: [[[-4, 1], [4, 1]]],
    0x306: BREVE,
    0x307: DOT,
    0x308: moved(DOT, -4) + moved(DOT, 4),
    0x309: [[[-2, 5], [0, 6], [2, 5], [2, 4], [0, 2], [0, 0]]],
    0x30A: RING,
    0x30B: moved(ACUTE, -3) + moved(ACUTE, 3),
    0x30C: [[[-4, 5], [0, 0], [4, 5]]],
    0x30F: moved(ACUTE, -3, across=-1) + moved(ACUTE, 3, across=-1),
    0x311: moved(BREVE, 0, 4, up=-1),
    0x313: COMMA,
    0x314: moved(COMMA, 0, across=-1),
    0x31B: [[[0, -2], [2, -1], [3, 1], [3, 4]]],
    0x323: DOT,
    0x324: moved(DOT, -4) + moved(DOT, 4),
    0x325: RING,
    0x326: COMMA,
    0x327: [[[0, 6], [0, 4], [2, 3], [2, 1], [0, 0], [-2, 1]]],
    0x328: [[[0, 5], [-2, 3], [-2, 1], [0, 0], [2, 1]]],
    0x32D: [[[-4, 0], [0, 5], [4, 0]]],
    0x32E: BREVE,
    0x330: TILDE,
    0x331: [[[-4, 1], [4, 1]]],
    0x342: TILDE,
    0x345: [[[0, 5], [0, 1], [1, 0], [2, 1]]],
}

BOWL = [[13, 11], [16, 10], [17, 9], [18, 7], [18, 4], [17, 2], [16, 1], [13, 0]]  # the lower one of a B


def bowl(x: float, right: float) -> list[list[float]]:
    """From a stem at x out and back to it."""
    return [[x, 11], *([a + right - 18, b] for a, b in BOWL), [x, 0]]


# fmt: off
OPEN: Strokes = [
    [[3, 16], [4, 18], [6, 20], [8, 21], [12, 21], [14, 20], [16, 18], [17, 16], [18, 13], [18, 8], [17, 5], [16, 3],
    [14, 1], [12, 0], [8, 0], [6, 1], [4, 3], [3, 5]]
]
# fmt: on
LEG = [[2, 0], [4, 1], [5, 3], [6, 8], [7, 21]]

# Cyrillic capitals that are neither Latin nor Greek ones; drawn for this project, for Hershey's have double strokes.
# fmt: off
CYRILLIC: dict[str, Glyph] = {
    "Б": (21, [[[16, 21], [4, 21], [4, 0]], bowl(4, 18)]),
    "Д": (23, [[[3, -5], [3, 0], [20, 0], [20, -5]], [[5, 0], [7, 4], [8, 10], [8, 21], [17, 21], [17, 0]]]),
    "Ж": (26, [[[13, 21], [13, 0]], [[3, 21], [10, 11], [3, 0]], [[23, 21], [16, 11], [23, 0]], [[10, 11], [16, 11]]]),
    "З": (
        21,
        [
            [[4, 18], [5, 19], [8, 21], [12, 21], [15, 20], [16, 19], [17, 17], [17, 15], [16, 13], [15, 12], [12, 11],
            [15, 10], [16, 9], [18, 7], [18, 4], [17, 2], [16, 1], [12, 0], [8, 0], [5, 1], [3, 3]],
            [[9, 11], [12, 11]],
        ],
    ),
    "И": (22, [[[4, 21], [4, 0], [18, 21], [18, 0]]]),
    "Л": (21, [[*LEG, [17, 21], [17, 0]]]),
    "У": (18, [[[2, 21], [9, 8]], [[16, 21], [9, 8], [7, 3], [5, 1], [2, 0]]]),
    "Ц": (24, [[[4, 21], [4, 0], [21, 0], [21, -5]], [[18, 21], [18, 0]]]),
    "Ч": (22, [[[4, 21], [4, 14], [5, 11], [6, 10], [9, 9], [12, 9], [15, 10], [18, 12]], [[18, 21], [18, 0]]]),
    "Ш": (26, [[[4, 21], [4, 0], [22, 0], [22, 21]], [[13, 21], [13, 0]]]),
    "Щ": (28, [[[4, 21], [4, 0], [25, 0], [25, -5]], [[13, 21], [13, 0]], [[22, 21], [22, 0]]]),
    "Ъ": (23, [[[1, 21], [6, 21], [6, 0]], bowl(6, 20)]),
    "Ы": (25, [[[4, 21], [4, 0]], bowl(4, 16), [[21, 21], [21, 0]]]),
    "Ь": (21, [[[4, 21], [4, 0]], bowl(4, 18)]),
    "Э": (21, [*OPEN, [[9, 11], [18, 11]]]),
    "Є": (21, [*moved(OPEN, 21, across=-1), [[3, 11], [12, 11]]]),
    "Ю": (
        28,
        [
            [[4, 21], [4, 0]],
            [[4, 11], [10, 11]],
            [[16, 21], [14, 20], [12, 18], [11, 16], [10, 13], [10, 8], [11, 5], [12, 3], [14, 1], [16, 0], [19, 0],
            [21, 1], [23, 3], [24, 5], [25, 8], [25, 13], [24, 16], [23, 18], [21, 20], [19, 21], [16, 21]],
        ],
    ),
    "Ґ": (17, [[[4, 0], [4, 21], [15, 21], [15, 25]]]),
    "Ђ": (
        23,
        [
            [[1, 21], [16, 21]],
            [[7, 21], [7, 0]],
            [[7, 11], [9, 12], [12, 13], [15, 13], [17, 12], [19, 10], [20, 7], [20, 2], [19, -2], [17, -4], [14, -5]],
        ],
    ),
    "Ћ": (
        22,
        [[[1, 21], [16, 21]], [[7, 21], [7, 0]], [[7, 10], [9, 12], [12, 13], [15, 13], [17, 12], [18, 10], [18, 0]]],
    ),
    "Љ": (29, [[*LEG, [15, 21], [15, 0]], bowl(15, 26)]),
    "Њ": (29, [[[4, 21], [4, 0]], [[15, 21], [15, 0]], [[4, 11], [15, 11]], bowl(15, 26)]),
    "Һ": (19, [[[4, 21], [4, 0]], [[4, 10], [6, 12], [9, 13], [12, 13], [14, 12], [15, 10], [15, 0]]]),
    "Џ": (22, [[[4, 21], [4, 0], [18, 0], [18, 21]], [[11, 0], [11, -5]]]),
}
SMALL_CAPITALS = "ВГДЖЗИКЛМНПТЦЧШЩЪЫЬЭЮЯЄҐЉЊЏҐҚҢҒҮҰӨ"  # their small letters are the same shapes
OWN_SMALL: dict[str, Glyph] = {
    "б": (
        19,
        [
            [[15, 21], [13, 19], [8, 18], [5, 15], [4, 11], [4, 5], [5, 2], [7, 0], [11, 0], [13, 1], [15, 3], [16, 6],
            [16, 8], [15, 11], [13, 13], [11, 14], [8, 14], [6, 13], [4, 10]]
        ],
    ),
    "ф": (
        24,
        [
            [[12, 21], [12, -7]],
            [[12, 12], [10, 13], [8, 13], [6, 12], [4, 9], [4, 5], [6, 2], [8, 1], [10, 1], [12, 2], [14, 1], [16, 1],
            [18, 2], [20, 5], [20, 9], [18, 12], [16, 13], [14, 13], [12, 12]],
        ],
    ),
    "ς": (
        17,
        [
            [[14, 11], [13, 13], [11, 14], [8, 14], [6, 13], [4, 11], [3, 8], [3, 6], [4, 3], [6, 1], [9, 0], [11, -1],
            [12, -3], [11, -5], [9, -6], [7, -6]]
        ],
    ),
}
# fmt: on
GREEK = "ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩ"  # as the Greek set has them, under A to X
SAME = dict(
    zip(
        "АВЕКМНОРСТХЅІЈҮаеорсхуіјѕһГПФ",
        "ABEKMHOPCTXSIJYaeopcxyijshΓΠΦ",
        strict=True,
    )
)
BARRED: dict[str, tuple[str, Strokes]] = {
    "Ø": ("O", [[[4, -2], [18, 23]]]),
    "ø": ("o", [[[4, -1], [15, 15]]]),
    "Ł": ("L", [[[1, 8], [11, 15]]]),
    "ł": ("l", [[[1, 8], [7, 13]]]),
    "Đ": ("D", [[[1, 11], [10, 11]]]),
    "đ": ("d", [[[9, 18], [18, 18]]]),
    "Ħ": ("H", [[[1, 16], [21, 16]]]),
    "ħ": ("h", [[[1, 18], [10, 18]]]),
    "Ŧ": ("T", [[[4, 11], [12, 11]]]),
    "ŧ": ("t", [[[2, 7], [9, 7]]]),
    "ћ": ("h", [[[1, 18], [10, 18]]]),
    "ђ": ("h", [[[1, 18], [10, 18]], [[15, 0], [15, -3], [13, -6], [10, -7]]]),
    "Қ": ("K", [[[18, 0], [18, -5]]]),
    "Ң": ("H", [[[18, 0], [21, 0], [21, -5]]]),
    "Ғ": ("Γ", [[[0, 11], [10, 11]]]),
    "Ұ": ("Y", [[[4, 8], [14, 8]]]),
    "Ө": ("O", [[[4, 11], [18, 11]]]),
}


def engraved() -> None:
    glyphs = {letter: hershey("futural", letter) for letter in map(chr, range(0x20, 0x7F))}
    for place, letter in enumerate(GREEK):
        for plain, here in ((chr(65 + place), letter), (chr(97 + place), letter.lower())):
            glyphs[here] = hershey("greeks", plain)
    for letter in "ij":
        advance, strokes = glyphs[letter]
        # A dotless letter: the stroke that stands above the small letters' height is its dot.
        kept = [stroke for stroke in strokes if min(y for _, y in stroke) <= SMALL]
        glyphs["ıȷ"["ij".index(letter)]] = advance, kept
    for letter in "!?":
        advance, strokes = glyphs[letter]
        glyphs["¡¿"["!?".index(letter)]] = advance, moved(strokes, advance, SMALL, across=-1, up=-1)
    glyphs |= {letter: glyphs[same] for letter, same in SAME.items()} | CYRILLIC | OWN_SMALL
    advance, strokes = glyphs["R"]
    glyphs["Я"] = advance, moved(strokes, advance, across=-1)
    for letter, (base, more) in BARRED.items():
        glyphs[letter] = glyphs[base][0], [*glyphs[base][1], *more]
    share = SMALL / CAPITAL
    for letter in SMALL_CAPITALS:
        advance, strokes = glyphs[letter]
        glyphs[letter.lower()] = round(advance * share, 2), moved(strokes, 0, across=share, up=share)
    glyphs |= {chr(code): (0, strokes) for code, strokes in ACCENTS.items()}
    write("strokes.json", {letter: [advance, strokes] for letter, (advance, strokes) in glyphs.items()})


def hershey(font: str, letter: str) -> Glyph:
    """A glyph of the package, whose y runs down from 9 above the baseline and whose x begins left of the letter."""
    source = HersheyFonts()
    source.load_default_font(font)
    [glyph] = source.glyphs_for_text(letter)
    strokes = [[[x - glyph.left_offset, BASELINE - y] for x, y in stroke] for stroke in glyph.strokes]
    return glyph.char_width, strokes


BASELINE = 9


def write(name: str, table: dict[str, Any]) -> None:
    rows = ",\n".join(
        f"{json.dumps(key, ensure_ascii=False)}: {json.dumps(value, ensure_ascii=False, separators=(',', ':'))}"
        for key, value in table.items()
    )
    (FONTS / name).write_text("{\n" + rows + "\n}\n", encoding="utf-8")


if __name__ == "__main__":
    printed()
    engraved()
