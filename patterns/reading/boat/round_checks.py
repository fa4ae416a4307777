"""What boat.toml may ask of a round hull: moulds, ends, layers of planking; the rest is made of chined hulls alone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import fsum

from patterns.errors import Problem
from patterns.hull.build import Layer, PlankRules
from patterns.parts.asked.end_rules import PlankEnds
from patterns.parts.asked.rules import FrameKind, RoundKeel
from patterns.reading.toml.boat_tables import BoatToml
from patterns.reading.toml.end_tables import StemTable, TransomTable
from patterns.reading.toml.faults import cell
from patterns.reading.toml.planking_tables import LinesOf
from patterns.reading.toml.toml_lines import Path
from patterns.reading.wording import quoted
from patterns.units.lengths import write_length

NOT_MADE = (
    *("laps", "chine_log", "inwale", "outwale", "rub_rail", "keel_batten", "keelson", "stringer", "skeg"),
    *("thwart", "riser", "thwart_knee", "breasthook", "quarter_knee"),
)
"""Tables whose parts are not made of round hulls."""
SAME_THICKNESS = 0.05  # mm; what is written to a tenth adds up no nearer


def layers_asked(toml: BoatToml) -> tuple[Layer, ...]:
    """The layers that boat.toml tells apart, from the outside in."""
    return tuple(Layer(one.name, one.thickness, one.on_moulds) for one in toml.planking.side.layers or ())


def planks_asked(toml: BoatToml) -> PlankRules | None:
    """How boat.toml has the girth of a round hull divided."""
    asked = toml.plank_lines
    if asked is None:
        return None
    return PlankRules(
        int(asked.count) if asked.count else None,
        asked.widest,
        asked.strip,
        asked.taper,
        tuple(asked.breadths or ()),
        tuple(asked.breadths_fore or ()),
        tuple(asked.breadths_aft or ()),
        ribbands=asked.of is LinesOf.RIBBANDS,
    )


def round_keel(toml: BoatToml) -> RoundKeel | None:
    """The keel that boat.toml asks for."""
    keel = toml.keel
    return RoundKeel(keel.sided, keel.moulded, keel.below, keel.material) if keel else None


def faults_of_layers(
    toml: BoatToml, file: str, lines: Mapping[Path, int], show: str, *, round_hull: bool
) -> Iterator[Problem]:
    """Layers of a hull that has none, or that do not add up to the planking."""
    where = cell(file, lines, ("planking", "side", "layers"))
    if toml.keel and not round_hull:
        wanted = "no such table: only of a round hull is it made. Write [keel_batten], [keelson] or [skeg]"
        yield Problem(cell(file, lines, ("keel",)), "a table", wanted)
    if toml.plank_lines and not round_hull:
        wanted = (
            "no such table: strakes of a chined hull end on its lines, and only the girth of a round hull is divided"
        )
        yield Problem(cell(file, lines, ("plank_lines",)), "a table", wanted)
    layers = layers_asked(toml)
    if not layers:
        return
    if not round_hull:
        yield Problem(where, "layers", "no such tables: only of a round hull are layers told apart")
        return
    skins = [layer.thickness for layer in layers if not layer.on_moulds]
    thickness = toml.planking.side.thickness
    if skins and abs(fsum(skins) - thickness) > SAME_THICKNESS:
        found, wanted = (write_length(mm, show) for mm in (fsum(skins), thickness))
        yield Problem(
            where,
            f"layers of the planking {found} thick together",
            f"{wanted}, as thickness says; or on_moulds = true at what does not belong to the planking",
        )


def faults_of_round(toml: BoatToml, file: str, lines: Mapping[Path, int]) -> Iterator[Problem]:
    """Every table and value that asks for what is not made of a round hull."""
    for name in NOT_MADE:
        if getattr(toml, name):
            wanted = "no such table: this part is not made of a round hull yet. Moulds, transom, stem and sternpost are"
            yield Problem(cell(file, lines, (name,)), "a table", wanted)
    yield from _faults_of_frames(toml, file, lines)
    yield from _faults_of_ends(toml, file, lines)


def _faults_of_frames(toml: BoatToml, file: str, lines: Mapping[Path, int]) -> Iterator[Problem]:
    wanted = (
        f"'{FrameKind.MOULD}', or '{FrameKind.SHEET}' for a ring of plywood that stays in the boat: sawn frames are "
    )
    wanted += "not made of a round hull yet"
    frames = toml.frames
    if frames and frames.kind is FrameKind.SAWN:
        said = "kind" in frames.model_fields_set
        found = quoted(frames.kind) if said else f"nothing, which stands for '{frames.kind}'"
        yield Problem(cell(file, lines, ("frames", "kind")), found, wanted)
    for number, one in enumerate(toml.frame or ()):
        if one.kind is FrameKind.SAWN:
            yield Problem(cell(file, lines, ("frame", number, "kind")), quoted(one.kind), wanted)


def _faults_of_ends(toml: BoatToml, file: str, lines: Mapping[Path, int]) -> Iterator[Problem]:
    for name in ("stem", "sternpost", "bow_transom", "transom"):
        end = getattr(toml, name)
        if isinstance(end, StemTable) and end.planks_end is PlankEnds.LAPPED:
            wanted = f"'{PlankEnds.RABBET}' or '{PlankEnds.FALSE_STEM}' on a round hull"
            yield Problem(cell(file, lines, (name, "planks_end")), quoted(end.planks_end), wanted)
        if isinstance(end, TransomTable) and end.framing:
            wanted = "no such table: fashion pieces are not made of a round hull yet"
            yield Problem(cell(file, lines, (name, "framing")), "a table", wanted)
