"""Ids of places and groups in HTML and SVG."""

from __future__ import annotations

import re


def plain_id(text: str) -> str:
    """Plain letters, digits and hyphens; a letter of another alphabet by its number, so that two names stay two.

    >>> plain_id("frame 3, port"), plain_id("frame ж")
    ('frame-3-port', 'frame-u436')
    """
    spelled = "".join(letter if letter.isascii() or not letter.isalnum() else f" u{ord(letter):x} " for letter in text)
    return re.sub(r"[^A-Za-z0-9]+", "-", spelled).strip("-")
