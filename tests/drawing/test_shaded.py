"""Shaded pictures: what is nearest is seen, and each body is where plane geometry has it."""

from __future__ import annotations

import struct
import zlib

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from patterns.drawing.shaded import Body, View, room_for, shaded
from patterns.geometry.arrays import Floats
from patterns.geometry.meshes import Mesh, Side, between
from patterns.writing.ink.png import png_bytes

FROM_ABOVE = View(turn=0.0, tip=np.pi / 2)


def block(low: tuple[float, float, float], high: tuple[float, float, float]) -> Mesh:
    (x, y, z), (u, v, w) = low, high
    ring = np.array([[x, y], [u, y], [u, v], [x, v]])
    edges = [np.stack([ring[n], ring[(n + 1) % 4]]) for n in range(4)]

    def at(height: float):
        return lambda places: np.insert(places, 2, height, axis=1)

    return between(Side(edges, at(w)), Side(edges, at(z)))


def picture(bodies: list[Body], view: View, pixels: int = 200) -> Floats:
    return shaded(bodies, room_for(bodies, view, width=100.0, pixels=pixels)).greys / 255


def test_seen_from_ahead_starboard_lies_on_the_left_and_from_above_at_the_top() -> None:
    axes = np.eye(3)  # aft, to starboard, up
    assert np.allclose(View(np.pi / 2, 0.0).seen(axes)[:, :2], [(0, 0), (-1, 0), (0, 1)])
    assert np.allclose(FROM_ABOVE.seen(axes)[:, :2], [(1, 0), (0, 1), (0, 0)])


@given(st.floats(-3.0, 3.0), st.floats(-1.5, 1.5))
def test_a_view_is_a_turn_and_keeps_lengths(turn: float, tip: float) -> None:
    seen = View(turn, tip).seen(np.eye(3))
    assert np.allclose(seen @ seen.T, np.eye(3))
    assert np.linalg.det(seen) == pytest.approx(1.0)


def test_what_lies_higher_hides_what_lies_lower_whichever_is_drawn_first() -> None:
    low, high = block((0, 0, 0), (100, 100, 10)), block((25, 25, 50), (75, 75, 60))
    for order in ([Body(low, 0.9), Body(high, 0.3)], [Body(high, 0.3), Body(low, 0.9)]):
        seen = picture(order, FROM_ABOVE)
        assert seen[100, 100] < 0.4  # the middle: the upper, dark one
        assert seen[20, 20] > 0.7  # a corner: the lower one
    hidden = picture([Body(low, 0.9), Body(block((25, 25, -50), (75, 75, -40)), 0.3)], FROM_ABOVE)
    assert hidden[100, 100] > 0.7


@given(st.floats(20.0, 180.0), st.floats(20.0, 180.0))
def test_a_body_covers_as_many_pixels_as_it_is_large(wide: float, high: float) -> None:
    frame = [Body(block((0, 0, 0), (0.5, 0.5, 1)), 0.5), Body(block((199.5, 199.5, 0), (200, 200, 1)), 0.5)]
    one = Body(block((10, 10, 0), (10 + wide, 10 + high, 10)), 0.5)
    covered = int((picture([*frame, one], FROM_ABOVE, pixels=200) < 0.95).sum())
    assert covered == pytest.approx(wide * high, abs=3.0 * (wide + high) + 20)


def test_a_curved_skin_is_shaded_without_steps_and_a_sharp_edge_is_drawn() -> None:
    turn = np.linspace(0.0, np.pi, 25)
    ring = np.stack([100 * np.cos(turn), 100 * np.sin(turn)], axis=1)
    edges = [np.stack([ring[n], ring[(n + 1) % len(ring)]]) for n in range(len(ring))]

    def across(y: float):
        return lambda places: np.stack([places[:, 0], np.full(len(places), y), places[:, 1]], axis=1)

    arch = between(Side(edges, across(0.0)), Side(edges, across(300.0)))
    seen = picture([Body(arch, 0.9)], FROM_ABOVE)
    middle = seen[len(seen) // 2, 12:-12]
    assert np.abs(np.diff(middle)).max() < 0.02
    block_seen = picture([Body(block((0, 0, 0), (100, 100, 100)), 0.9)], View(0.6, 0.45))
    assert (block_seen < 0.3).sum() > 300


def test_a_png_holds_the_greys_it_was_given() -> None:
    """Read back by its definition, ISO/IEC 15948: chunks, then rows each begun by filter 2, up."""
    greys = np.arange(60, dtype=np.uint8).reshape(6, 10) * 4
    data = png_bytes(greys)
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    chunks, at = {}, 8
    while at < len(data):
        size, kind = struct.unpack(">I4s", data[at : at + 8])
        chunks[kind] = data[at + 8 : at + 8 + size]
        assert struct.unpack(">I", data[at + 8 + size : at + 12 + size])[0] == zlib.crc32(kind + chunks[kind])
        at += 12 + size
    assert struct.unpack(">II", chunks[b"IHDR"][:8]) == (10, 6)
    rows = np.frombuffer(zlib.decompress(chunks[b"IDAT"]), dtype=np.uint8).reshape(6, 11)
    assert set(rows[:, 0]) == {2}
    assert (rows[:, 1:].cumsum(axis=0, dtype=np.uint8) == greys).all()
