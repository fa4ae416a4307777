"""Greys as a PNG: the few chunks that a picture needs, for SVG to hold.

Source: Portable Network Graphics (PNG) Specification, ISO/IEC 15948, sections 5 and 11.
"""

from __future__ import annotations

import struct
import zlib
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

SIGNATURE = b"\x89PNG\r\n\x1a\n"
UP = 2  # the filter that takes the row above off
EIGHT_BIT_GREY = (8, 0, 0, 0, 0)  # bits a sample, colour type, compression, filter, interlace


def png_bytes(greys: NDArray[np.uint8]) -> bytes:
    """A picture (rows, columns) from the top left, 0 black to 255 white."""
    high, wide = greys.shape
    header = struct.pack(">IIBBBBB", wide, high, *EIGHT_BIT_GREY)
    chunks = ((b"IHDR", header), (b"IDAT", png_rows(greys)), (b"IEND", b""))
    return SIGNATURE + b"".join(_chunk(*one) for one in chunks)


def png_rows(greys: NDArray[np.uint8]) -> bytes:
    """Its rows, each begun by its filter and told by what it differs from the row above, compressed."""
    return _compressed(greys.tobytes(), greys.shape[1])


@lru_cache(maxsize=256)  # a picture of the book is written as SVG and on paper
def _compressed(data: bytes, wide: int) -> bytes:
    greys = np.frombuffer(data, dtype=np.uint8).reshape(-1, wide)
    high = len(greys)
    above = np.vstack([np.zeros((1, wide), dtype=np.uint8), greys[:-1]])
    rows = np.hstack([np.full((high, 1), UP, dtype=np.uint8), greys - above])
    return zlib.compress(rows.tobytes(), 6)


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
