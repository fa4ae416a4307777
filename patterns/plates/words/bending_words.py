"""What bench sheets say of bending: one verdict, a sample to try, steam, and layers on a form."""

from __future__ import annotations

import numpy as np

from patterns.parts.materials import NOT_STATED
from patterns.plates.words.bench_words import PRACTICE, no_less, rule_of_thumb
from patterns.shop.saw.bend_trials import CLAMPED, SOAK, SOAKED, SPAN, STEAM, overbend, sample_deflection
from patterns.shop.saw.bend_verdict import BRITTLE, NEAR_BREAKING, SURE, TOO_WET, BendVerdict, Way, steep_grain
from patterns.shop.saw.board_layout import RUN_OUT_LIMIT
from patterns.shop.woods import GRAIN_SOURCE, HANDBOOK, strength_left
from patterns.units.lengths import INCH, write_length
from patterns.units.weights import METRIC


def bend_words(bend: BendVerdict, material: str, show: str) -> list[str]:
    """The verdict, its figures, and where they come from."""
    if not np.isfinite(bend.flat_radius):
        told = ["Lies straight: no bending."]
    else:
        told = [
            f"VERDICT: {bend.way.value}.",
            f"Tightest flatwise (out of the face) {write_length(bend.flat_radius, show)} radius at "
            f"{_at(bend, 'flat_at', show)}: {bend.flat_ratio:.0f} thicknesses. Over 100 springs cold, 60 to 100 "
            f"needs a sample, under 60 steam, laminations or the saw; flat dry stock breaks near 20 to 30 "
            f"({PRACTICE}).",
        ]
    if bend.wood and bend.strained and np.isfinite(bend.flat_radius):
        told.append(_strain_words(bend))
    elif np.isfinite(bend.flat_radius):
        unknown = "its material is not stated" if material == NOT_STATED else f"{material} is not among them"
        told.append(f"No strain is figured from the handbook's woods: {unknown}. Use radius over thickness alone.")
    if steep_grain(bend.slope) and np.isfinite(bend.flat_radius):
        told.append(
            f"Its grain runs out steeper than 1 in {1 / RUN_OUT_LIMIT:.0f}, the most for sprung stock ({PRACTICE}): "
            "use straighter stock, or try a sample first."
        )
    if np.isfinite(bend.edge_radius):
        told.append(
            f"Tightest edgewise (in the face) {write_length(bend.edge_radius, show)}, {bend.edge_ratio:.0f} widths, at "
            f"{_at(bend, 'edge_at', show)}: sawn to the pattern no edge set is left; sprung from straight stock "
            f"{write_length(bend.edge_set, show)} of sweep would be forced edgewise."
        )
    if bend.twist > 1e-7:
        told.append(
            f"Twist at most {np.degrees(bend.twist) * 304.8:.1f}° per foot ({np.degrees(bend.twist) * 1000:.1f}° per "
            f"metre), at {_at(bend, 'twist_at', show)}; no published limit is known to us."
        )
    return told


def _strain_words(bend: BendVerdict) -> str:
    """Strain, moisture and run-out as one share of what breaks this board, and what the verdict makes of it."""
    assert bend.wood is not None
    assert bend.strained is not None
    grain = f"its grain runs out 1 in {1 / bend.slope:.0f}" if bend.slope > 1e-4 else "its grain is straight"
    leaves = f"{'at most ' if strength_left(bend.slope) is None else ''}{100 * bend.strength:.0f}"
    sure, near = (f"{100 * share:.0f}" for share in (SURE, NEAR_BREAKING))
    return (
        f"Bent cold the surface is strained to {100 * bend.strained:.0f} % of what breaks this board: "
        f"{bend.wood.species} at {bend.moisture:g} % moisture (rupture over stiffness, {HANDBOOK}, equation 5-3; "
        f"averages, and knots break sooner); {grain}, which leaves {leaves} % of the strength "
        f"({GRAIN_SOURCE}). Over {sure} % try a sample, over {near} % do not bend it cold (judgement of this program)."
        f"{_moisture_words(bend)}"
    )


def _moisture_words(bend: BendVerdict) -> str:
    if bend.moisture < BRITTLE:
        return f" Under {BRITTLE:g} % moisture wood bends badly: try it first ({PRACTICE})."
    if bend.moisture > TOO_WET:
        return f" Over {TOO_WET:g} % moisture let it dry before you glue it ({PRACTICE})."
    return ""


def trial_words(bend: BendVerdict, thickness: float, show: str) -> list[str]:
    """The sample to try, steam, and layers with their form; nothing for a piece that springs cold."""
    layers = bend.layers
    if layers is None:
        return []
    told = [_sample_words(bend, thickness, show)]
    if bend.way in (Way.TRY, Way.STEAM):
        steam = _steam_words(thickness, show)
        told.append(steam if bend.way is Way.STEAM else f"If the sample cracks, s{steam[1:]}")
    form, lead = layers.form, "Layers" if bend.way is Way.LAMINATE else "Or layers"
    told.append(
        f"{lead}: laminate {layers.count} of {write_length(layers.thickness, show)}, strips "
        f"{no_less(layers.strip, show)} long. On a form of the piece's own curve they spring back about "
        f"{write_length(layers.springs_back, show)} of its {write_length(bend.depth, show)} depth (1/n² of it, "
        f"geometry). So build the form {write_length(form.depth, show)} deep over a line of "
        f"{write_length(form.chord, show)}, by the table. It carries no twist: twist the piece in as you fit it. About "
        f"{layers.clamps} clamps, one every {rule_of_thumb(CLAMPED, show)}, from the middle out ({PRACTICE}). "
        "Try it dry."
    )
    return [*told, f"Sawn to its flatwise shape it would need a board {no_less(bend.sawn_from, show)} wide."]


def _sample_words(bend: BendVerdict, thickness: float, show: str) -> str:
    """A strip on two blocks, and how far to pull it down."""
    layer = bend.layers if bend.way is Way.LAMINATE else None
    thick = layer.thickness if layer else thickness
    step = 25.0 if show in METRIC else INCH
    span = float(np.ceil(SPAN * thick / step - 1e-6)) * step
    down = sample_deflection(span, bend.flat_radius / (overbend(layer.count) if layer else 1.0))
    of = "a layer" if layer else "the same board"
    hot = ", steamed as the piece will be" if bend.way is Way.STEAM else ""
    return (
        f"Sample: cut a strip of {of}, {write_length(thick, show)} thick, {write_length(2 * thick, show)} wide, "
        f"{write_length(span + 4 * step, show)} long{hot}. Lay it on two blocks {write_length(span, show)} apart and "
        f"pull it down midway by {write_length(down, show)} with a clamp: there it bends as hard as "
        f"{'on the form' if layer else 'the piece'} (beam theory). It must hold for five minutes without a crack or a "
        "tick. Stand clear: it stores energy."
    )


def _steam_words(thickness: float, show: str) -> str:
    hours = STEAM * thickness / 60
    days = SOAK * thickness / 24
    soak = f", or soak it {_about(days, 'day')} (a day for each 1/4 in, 6 mm)" if thickness <= SOAKED else ""
    return (
        f"Steam it {_about(hours, 'hour')} (an hour for each inch, 25 mm, of thickness){soak}; bend it within "
        f"a minute, clamp it at every frame and both ends, and leave it overnight ({PRACTICE}). Air-dried wood takes "
        "steam better than kiln-dried."
    )


def _about(value: float, unit: str) -> str:
    """``about 1.5 hours``, in halves."""
    halves = max(round(2 * value), 1) / 2
    return f"about {halves:g} {unit}{'' if halves == 1 else 's'}"


def _at(bend: BendVerdict, which: str, show: str) -> str:
    spot = getattr(bend, which)
    return spot.name or f"{write_length(spot.along, show)} from the fore end"
