"""Contours as DXF a router shop can cut unedited: R2000 or R12, mm, closed polylines of lines and arcs, no text."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from patterns.geometry.arc_lines import ArcLine, straight
from patterns.geometry.arrays import Floats
from patterns.shop.nest.proof_square import proof_square
from patterns.shop.nest.sheet_stock import SheetStock
from patterns.shop.router.contours import Contours, Lettering
from patterns.shop.router.router_rules import LAYERS, DxfForm, Release, RouterLayer
from patterns.writing.ink.numbers import spelt

# Index colors that stay apart on black and on white screens, the cuts the most striking.
COLORS: dict[RouterLayer, int] = {
    "cut-outside": 30,  # orange
    "cut-inside": 200,  # violet
    "drill": 10,  # red
    "far-face": 140,  # sky blue
    "mark": 94,  # dark green
    "tab": 54,  # olive
    "text-names": 8,  # gray
    "text-bevels": 252,  # light gray
    "sheet": 9,  # light gray
}
# The seven that have names: red, yellow, green, cyan, blue, magenta, white or black. No two cuts share one.
PLAIN_COLORS: dict[RouterLayer, int] = {
    "cut-outside": 1,
    "cut-inside": 6,
    "drill": 3,
    "far-face": 4,
    "mark": 5,
    "tab": 2,
    "text-names": 7,
    "text-bevels": 5,
    "sheet": 7,
}
DIGITS = 4  # of a mm; the file says no more than a machine can follow
BULGE_DIGITS = 10  # a bulge is multiplied by half a chord, metres long on a flat arc
FIRST_HANDLE, LAST_HANDLE = 0x1000, 0xFFFFFF  # of entities; ezdxf's own come before
_HANDLE, _OWNER = "<handle>", "<owner>"
_PLACE = "10\n#\n20\n#\n"
_EXTENTS = (-11111.5, -22222.5, 33333.5, 44444.5)  # stand in the bindings where the real ones will
_MILLIMETRES = 4  # $INSUNITS
_METRIC = 1  # $MEASUREMENT
PLAIN = DxfForm()


def write_dxf(part: Contours, form: DxfForm = PLAIN, *, run: str = "") -> bytes:
    """One part, its lowest x and y at 0; the run mark as a comment."""
    whole, speller = part.at_origin(), _speller(form)
    return _comment(run) + _bound(list(_part(whole, speller)), np.stack(whole.bounds), form)


def write_sheet(
    parts: Sequence[Contours],
    sheet: SheetStock,
    words: Sequence[str] = (),
    form: DxfForm = PLAIN,
    *,
    run: str = "",
    margin: float = 0.0,
) -> bytes:
    """Parts as placed on a sheet whose corner lies at the origin, and a proof square with words in it."""
    length, width = sheet.length, sheet.width
    outline = straight(np.array([[0.0, 0.0], [length, 0.0], [length, width], [0.0, width]]), closed=True)
    speller = _speller(form)
    entities = [speller.line(outline, "sheet")]
    square = proof_square(parts, sheet, words, margin)
    if square is not None:
        entities.append(speller.line(square.line, "mark"))
        entities.append(speller.lettering(square.lettering))
    entities.extend(entity for part in parts for entity in _part(part, speller))
    return _comment(run) + _bound(entities, outline.points, form)


def _comment(run: str) -> bytes:
    """Group 999, which readers pass over."""
    return f"999\nrun {run}\n".encode("ascii") if run else b""


def _part(part: Contours, speller: _Speller) -> Iterator[str]:
    yield speller.line(part.outer, "cut-outside")
    for hole in part.inner:
        yield speller.line(hole, "cut-inside")
    for score in part.scored:
        yield speller.line(score.line, score.layer)
    yield speller.lettering(part.lettering)
    for bore in part.drilled:
        yield speller.circle(bore.at, bore.diameter / 2)


@dataclass(frozen=True, slots=True)
class _Speller:
    """Entities as R2000 has them: each with a handle, its owner, and the classes it is read by."""

    form: DxfForm

    def line(self, line: ArcLine, layer: RouterLayer) -> str:
        bulges = np.round(line.bulges, BULGE_DIGITS).tolist()
        bends = (_spelt("42\n#\n", (bulge,), BULGE_DIGITS) if bulge else "" for bulge in bulges)
        vertices = _spelt("".join([self.vertex(layer, bend) for bend in bends]), line.points)
        return self.head(len(bulges), layer, closed=line.closed) + vertices + self.foot(layer)

    def lettering(self, lettering: Lettering) -> str:
        """All strokes at once: a part has thousands."""
        bevels, names = lettering.counts[: lettering.bevels], lettering.counts[lettering.bevels :]
        form = self._strokes(bevels, "text-bevels") + self._strokes(names, "text-names")
        return _spelt(form, lettering.points)

    def _strokes(self, counts: Sequence[int], layer: RouterLayer) -> str:
        """Forms of strokes of so many points each, spelled once for each count."""
        forms = {
            count: self.head(count, layer, closed=False) + self.vertex(layer) * count + self.foot(layer)
            for count in set(counts)
        }
        return "".join([forms[count] for count in counts])

    def circle(self, at: tuple[float, float], radius: float) -> str:
        return self.entity("CIRCLE", "drill", "AcDbCircle") + _spelt("10\n#\n20\n#\n30\n0.0\n40\n#\n", (*at, radius))

    def head(self, count: int, layer: RouterLayer, *, closed: bool) -> str:
        return f"{self.entity('LWPOLYLINE', layer, 'AcDbPolyline')}90\n{count}\n70\n{int(closed)}\n43\n0.0\n"

    def vertex(self, layer: RouterLayer, bend: str = "") -> str:
        return _PLACE + bend

    def foot(self, layer: RouterLayer) -> str:
        return ""

    def entity(self, kind: str, layer: RouterLayer, read_by: str) -> str:
        name = self.form.name(layer)
        return f"0\n{kind}\n5\n{_HANDLE}\n330\n{_OWNER}\n100\nAcDbEntity\n8\n{name}\n100\n{read_by}\n"


class _OldSpeller(_Speller):
    """Entities as R12 has them: a polyline's vertices are entities of their own, and none has a handle."""

    __slots__ = ()

    def head(self, count: int, layer: RouterLayer, *, closed: bool) -> str:
        return f"{self.entity('POLYLINE', layer, '')}66\n1\n10\n0.0\n20\n0.0\n30\n0.0\n70\n{int(closed)}\n"

    def vertex(self, layer: RouterLayer, bend: str = "") -> str:
        return f"{self.entity('VERTEX', layer, '')}{_PLACE}30\n0.0\n{bend}"

    def foot(self, layer: RouterLayer) -> str:
        return self.entity("SEQEND", layer, "")

    def entity(self, kind: str, layer: RouterLayer, read_by: str) -> str:
        return f"0\n{kind}\n8\n{self.form.name(layer)}\n"


def _speller(form: DxfForm) -> _Speller:
    return _OldSpeller(form) if form.release is Release.R12 else _Speller(form)


def _spelt(form: str, numbers: Floats | Sequence[float], digits: int = DIGITS) -> str:
    return spelt(form, numbers, digits, whole=".0")  # a whole number would be of another type in a DXF file


def _bound(entities: list[str], points: Floats, form: DxfForm) -> bytes:
    """Entities between what stands before and after them, each with a handle of its own."""
    before, after, owner = _bindings(form)
    begun, *rest = "".join(entities).replace(_OWNER, owner).split(_HANDLE)
    body = begun + "".join([f"{FIRST_HANDLE + number:X}{text}" for number, text in enumerate(rest)])
    extents = np.concatenate([points.min(axis=0), points.max(axis=0)])
    for place, value in zip(_EXTENTS, _spelt("# # # #", extents).split(), strict=True):
        before, after = (text.replace(repr(place), value) for text in (before, after))
    return (before + body + after).encode("ascii")


@cache
def _bindings(form: DxfForm) -> tuple[str, str, str]:
    """What ezdxf writes before and after the entities, and the handle of the block that owns them.

    The entities themselves are spelt here: lettering is thousands of strokes, and through the library they cost as
    much as all the rest of a job.
    """
    # A third of a second to load: only whoever writes DXF pays for it.
    from ezdxf import options  # type: ignore[attr-defined]
    from ezdxf.document import Drawing

    # Dates and random identities would make every run's file another one.
    options.write_fixed_meta_data_for_testing = True
    document = Drawing.new(form.release.upper())
    if form.release is not Release.R12:  # it has no word for units, and the library says so on the builder's screen
        document.units = _MILLIMETRES
    document.header["$MEASUREMENT"] = _METRIC
    colors = PLAIN_COLORS if form.plain_colors else COLORS
    for name in dict.fromkeys(map(form.name, LAYERS)):
        document.layers.add(name, color=next(colors[layer] for layer in LAYERS if form.name(layer) == name))
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
