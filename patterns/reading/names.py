"""Names a builder may choose: what ends on a sheet, in a file's name or on the wood must have letters there."""

from __future__ import annotations

import unicodedata

from patterns.drawing.engraving import in_file_name
from patterns.drawing.text import LONGEST_NAME, unlettered

LONGEST_LABEL = 20  # letters, of a station: it stands at every frame, on every mark
LONGEST_TEXT = 500  # letters of a text about something, a paragraph
MOST_SHOWN = 5  # letters named in one message


def spaced(text: str) -> str:
    """Text with single blanks between words, and letters with their accents as one character each."""
    return " ".join(unicodedata.normalize("NFC", text).split())


def fault_of_letters(text: str, longest: int) -> str:
    """What is wanted in place of a text that cannot be lettered; nothing where it can."""
    if strange := unlettered(text):
        shown = ", ".join(map(_shown, strange[:MOST_SHOWN])) + (" and others" if len(strange) > MOST_SHOWN else "")
        return f"Latin, Greek or Cyrillic letters, digits and common signs; no page can show {shown}: spell it without"
    if len(text) > longest:
        return f"at most {longest} letters and signs; this has {len(text)}: shorten it"
    return ""


def fault_of_name(text: str, longest: int = LONGEST_NAME) -> str:
    """As `fault_of_letters`, of a name that a part and its files are called by."""
    return fault_of_letters(text, longest) or ("" if in_file_name(text) else "a letter or a digit in the name")


def _shown(letter: str) -> str:
    visible = letter.isprintable() and not unicodedata.combining(letter)
    return f"'{letter}'" if visible else f"the invisible character U+{ord(letter):04X}"
