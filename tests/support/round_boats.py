"""Boats of round hulls by closed formula, with wood: their tables are not asked, the skin lies on the formula."""

from __future__ import annotations

from dataclasses import replace

from closed_round import ClosedRound

from patterns.hull.build import End, EndFace, Layer, LinesTo, Planking, Skin, Stem, StemFace, Transom
from patterns.hull.round.figures import RoundLines, figures
from patterns.hull.round.round_hull import FairedFigure, RoundHull
from patterns.parts.asked.end_rules import StemWork
from patterns.parts.asked.rules import Boat, Building, FrameKind, FramePlace, FrameRules, StationFace

PLANKING = 9.0


def known_hull(form: ClosedRound) -> RoundHull:
    """The hull of a form whose faired figures are those of its table."""
    table = form.table(1e-6)
    every = figures(RoundLines(table, form.fore, form.aft, 1.0, (), form.diagonal_places))
    own = tuple(FairedFigure(one.line, one.view, one.column, one.given, one.given, one.limit) for one in every)
    return replace(form.hull, figures=own)


def moulds_at(form: ClosedRound, **rules: object) -> FrameRules:
    """Solid moulds 18 mm thick at every station."""
    given: dict[str, object] = {
        "places": tuple(FramePlace(str(i + 1), float(x)) for i, x in enumerate(form.stations)),
        "sided": 18.0,
        "side_moulded": 60.0,
        "floor_moulded": 80.0,
        "station_face": StationFace.END_WARD,
        "kind": FrameKind.MOULD,
        "material": "plywood",
        "solid": True,
    }
    return FrameRules(**(given | rules))  # type: ignore[arg-type]


def round_boat(
    form: ClosedRound,
    *,
    thickness: float = PLANKING,
    layers: tuple[Layer, ...] = (),
    frames: FrameRules | None = None,
    building: Building | None = None,
    crown: float = 0.0,
) -> Boat:
    """The boat of a form."""
    return Boat(
        name="Round",
        about="",
        offsets=form.table(0.01),
        fair_within=1.0,
        fore=_end(form.fore, form.keel_half, crown),
        aft=_end(form.aft, form.keel_half, crown),
        skin=Skin(LinesTo.OUTSIDE, (Planking(thickness, "cedar"),), (), layers=layers),
        frames=frames or moulds_at(form),
        show="mm",
        building=building,
        fore_work=StemWork() if isinstance(form.fore, StemFace) else None,
    )


def _end(face: EndFace, half: float, crown: float) -> End:
    if isinstance(face, StemFace):
        return Stem(face.profile, sided=2 * half, moulded=90.0)
    return Transom(face.profile, thickness=18.0, crown=crown, material="plywood", radius=face.radius)
