"""A second reader of lengths, token by token and without regular expressions, to hold the program's against.

It knows the plain spellings only, those of letters and digits any keyboard has; lengths are exact, in mm.
"""

from __future__ import annotations

from fractions import Fraction

MM = {"mm": 1, "cm": 10, "m": 1000, "in": Fraction("25.4"), "ft": Fraction("304.8")}
NAMES = {
    **{name: name for name in MM},
    **dict.fromkeys(('"', "in.", "inch", "inches"), "in"),
    **dict.fromkeys(("'", "ft.", "foot", "feet"), "ft"),
}


class NotALengthError(Exception):
    pass


def plain_length(text: str, unit: str) -> Fraction:
    """The length in mm of a plain text; `NotALengthError` for any other."""
    words = _tokens(text.lower())
    sign = 1
    if words[:1] in (["-"], ["+"]):
        sign = -1 if words.pop(0) == "-" else 1
    words = [word for word in words if word != " "] if words[:1] != [" "] else words[1:]
    for form in (_eighths, _feet_and_inches, _one_unit):
        value = form([word for word in words if word != " "], unit, text)
        if value is not None:
            return sign * value
    raise NotALengthError(text)


def _tokens(text: str) -> list[str]:
    """Runs of digits, runs of letters with a full stop behind, single signs."""
    tokens: list[str] = []
    kinds: list[str] = []
    for letter in " ".join(text.split()):
        kind = "d" if letter in "0123456789" else "a" if letter.isascii() and letter.isalpha() else letter
        if kinds and kind == kinds[-1] and kind in "da":
            tokens[-1] += letter
        elif letter == "." and kinds and kinds[-1] == "a":
            tokens[-1] += letter
            kinds.append(".")
            continue
        else:
            tokens.append(letter)
        kinds.append(kind)
    return tokens


def _whole(word: str, digits: int) -> int:
    if not word or len(word) > digits or any(letter not in "0123456789" for letter in word):
        raise NotALengthError(word)
    return int(word)


def _eighths(words: list[str], unit: str, text: str) -> Fraction | None:
    if len(words) < 5 or words[1] != "-" or words[3] != "-" or len(words[4]) != 1:
        return None
    marks = {"": 0, "+": 2, "-": -2, "+-": 1, "++": 3}
    mark = "".join(words[5:])
    try:
        feet, inches, eighths = _whole(words[0], 3), _whole(words[2], 2), _whole(words[4], 1)
    except NotALengthError:
        return None
    if inches > 11 or eighths > 7 or mark not in marks:
        raise NotALengthError(text)
    return (12 * feet + inches + Fraction(eighths, 8) + Fraction(marks[mark], 32)) * MM["in"]


def _feet_and_inches(words: list[str], unit: str, text: str) -> Fraction | None:
    if len(words) < 3 or NAMES.get(words[1]) != "ft":
        return None
    # Behind feet the mark of the inches may be left out.
    rest = words[2:-1] if NAMES.get(words[-1]) == "in" else words[2:]
    rest = rest[1:] if rest[:1] == ["-"] else rest
    feet, inches = _whole(words[0], 6), _number(rest)
    if inches >= 12:
        raise NotALengthError(text)
    return (12 * feet + inches) * MM["in"]


def _one_unit(words: list[str], unit: str, text: str) -> Fraction | None:
    own = unit
    if words and words[-1] in NAMES:
        own = NAMES[words.pop()]
    if "/" in words and own not in ("in", "ft"):
        raise NotALengthError(text)
    return _number(words) * MM[own]


def _number(words: list[str]) -> Fraction:
    if "/" in words:
        place = words.index("/")
        whole = [word for word in words[: place - 1] if word]
        if len(whole) == 2 and whole[1] == "-":
            whole.pop()
        if place < 1 or len(words) != place + 2 or len(whole) > 1:
            raise NotALengthError(" ".join(words))
        top, bottom = _whole(words[place - 1], 3), _whole(words[place + 1], 3)
        if top >= bottom:
            raise NotALengthError(" ".join(words))
        return (_whole(whole[0], 6) if whole else 0) + Fraction(top, bottom)
    match words:
        case [whole]:
            return Fraction(_whole(whole, 9))
        case ["." | ",", parts]:
            return Fraction(_whole(parts, 9), 10 ** len(parts))
        case [whole, "." | ",", parts]:
            return _whole(whole, 9) + Fraction(_whole(parts, 9), 10 ** len(parts))
        case _:
            raise NotALengthError(" ".join(words))
