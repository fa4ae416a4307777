"""Contours as DXF a router shop can cut unedited: R2000, millimetres, closed polylines of lines and arcs, no text."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from functools import cache

import numpy as np

from patterns.geometry.arc_lines import ArcLine, straight
from patterns.geometry.arrays import Floats
from patterns.shop.nest.proof_square import proof_square
from patterns.shop.nest.sheet_stock import SheetStock
from patterns.shop.router.contours import Contours, Lettering, RouterLayer
from patterns.writing.ink.numbers import spelt

# Index colours that stay apart on black and on white screens, the cuts the most striking.
COLOURS: dict[RouterLayer, int] = {
    "cut-outside": 30,  # orange
    "cut-inside": 200,  # violet
    "far-face": 140,  # sky blue
    "mark": 94,  # dark green
    "drill": 10,  # red
    "tab": 54,  # olive
    "text": 8,  # grey
    "sheet": 9,  # light grey
}
DIGITS = 4  # of a mm; the file says no more than a machine can follow
BULGE_DIGITS = 10  # a bulge is multiplied by half a chord, metres long on a flat arc
FIRST_HANDLE, LAST_HANDLE = 0x1000, 0xFFFFFF  # of entities; ezdxf's own come before
_HANDLE, _OWNER = "<handle>", "<owner>"
_PLACE = "10\n#\n20\n#\n"
_EXTENTS = (-11111.5, -22222.5, 33333.5, 44444.5)  # stand in the bindings where the real ones will
_MILLIMETRES = 4  # $INSUNITS
_METRIC = 1  # $MEASUREMENT


def write_dxf(part: Contours, *, run: str = "") -> bytes:
    """One part, its lowest x and y at 0; the run mark as a comment."""
    whole = part.at_origin()
    return _comment(run) + _bound(list(_part(whole)), np.stack(whole.bounds))


def write_sheet(parts: Sequence[Contours], sheet: SheetStock, words: Sequence[str] = (), *, run: str = "") -> bytes:
    """Parts as placed on a sheet whose corner lies at the origin, and a proof square with words in it."""
    length, width = sheet.length, sheet.width
    outline = straight(np.array([[0.0, 0.0], [length, 0.0], [length, width], [0.0, width]]), closed=True)
    entities = [_polyline(outline, "sheet")]
    square = proof_square(parts, sheet, words)
    if square is not None:
        entities.append(_polyline(square.line, "mark"))
        entities.append(_engraved(square.lettering))
    entities.extend(entity for part in parts for entity in _part(part))
    return _comment(run) + _bound(entities, outline.points)


def _comment(run: str) -> bytes:
    """Group 999, which readers pass over."""
    return f"999\nrun {run}\n".encode("ascii") if run else b""


def _part(part: Contours) -> Iterator[str]:
    yield _polyline(part.outer, "cut-outside")
    for hole in part.inner:
        yield _polyline(hole, "cut-inside")
    for score in part.scored:
        yield _polyline(score.line, score.layer)
    yield _engraved(part.lettering)
    for bore in part.drilled:
        circle = _spelt("10\n#\n20\n#\n30\n0.0\n40\n#\n", (*bore.at, bore.diameter / 2))
        yield _entity("CIRCLE", "drill") + f"100\nAcDbCircle\n{circle}"


def _polyline(line: ArcLine, layer: RouterLayer) -> str:
    bulges = np.round(line.bulges, BULGE_DIGITS).tolist()
    bends = (_spelt("42\n#\n", (bulge,), BULGE_DIGITS) if bulge else "" for bulge in bulges)
    vertices = _spelt("".join([f"{_PLACE}{bend}" for bend in bends]), line.points)
    return _line_head(len(bulges), layer, closed=line.closed) + vertices


def _engraved(lettering: Lettering) -> str:
    """All strokes at once: a part has thousands."""
    form = "".join([_line_head(count, "text", closed=False) + _PLACE * count for count in lettering.counts])
    return _spelt(form, lettering.points)


def _spelt(form: str, numbers: Floats | Sequence[float], digits: int = DIGITS) -> str:
    return spelt(form, numbers, digits, whole=".0")  # a whole number would be of another type in a DXF file


@cache
def _line_head(count: int, layer: RouterLayer, *, closed: bool) -> str:
    return _entity("LWPOLYLINE", layer) + f"100\nAcDbPolyline\n90\n{count}\n70\n{int(closed)}\n43\n0.0\n"


def _entity(kind: str, layer: RouterLayer) -> str:
    return f"0\n{kind}\n5\n{_HANDLE}\n330\n{_OWNER}\n100\nAcDbEntity\n8\n{layer}\n"


def _bound(entities: list[str], points: Floats) -> bytes:
    """Entities between what stands before and after them, each with a handle of its own."""
    before, after, owner = _bindings()
    begun, *rest = "".join(entities).replace(_OWNER, owner).split(_HANDLE)
    body = begun + "".join([f"{FIRST_HANDLE + number:X}{text}" for number, text in enumerate(rest)])
    extents = np.concatenate([points.min(axis=0), points.max(axis=0)])
    for place, value in zip(_EXTENTS, _spelt("# # # #", extents).split(), strict=True):
        before, after = (text.replace(repr(place), value) for text in (before, after))
    return (before + body + after).encode("ascii")


@cache
def _bindings() -> tuple[str, str, str]:
    """What ezdxf writes before and after the entities, and the handle of the block that owns them.

    The entities themselves are spelt here: lettering is thousands of strokes, and through the library they cost as
    much as all the rest of a job.
    """
    # A third of a second to load: only whoever writes DXF pays for it.
    from ezdxf import options  # type: ignore[attr-defined]
    from ezdxf.filemanagement import new

    # Dates and random identities would make every run's file another one.
    options.write_fixed_meta_data_for_testing = True
    document = new("R2000", units=_MILLIMETRES)
    document.header["$MEASUREMENT"] = _METRIC
    for name, colour in COLOURS.items():
        document.layers.add(name, color=colour)
    x0, y0, x1, y1 = _EXTENTS
    # Readers that zoom by the header see 1e20 mm of nothing without these.
    document.modelspace().reset_extents((x0, y0, 0.0), (x1, y1, 0.0))
    document.header["$EXTMIN"], document.header["$EXTMAX"] = (x0, y0, 0.0), (x1, y1, 0.0)
    owner = document.modelspace().layout_key
    document.entitydb.handles.reset(f"{LAST_HANDLE:X}")
    text = io.StringIO()
    document.write(text)
    before, begin, after = text.getvalue().partition("  2\nENTITIES\n")
    return before + begin, after, owner
