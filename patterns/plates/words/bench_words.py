"""What bench sheets say: steps at the saw, verdicts, boards and scarfs, in the builder's units."""

from __future__ import annotations

import numpy as np

from patterns.parts.hazards import EPOXY
from patterns.parts.materials import NOT_STATED
from patterns.shop.saw.bend_verdict import BendVerdict, Way
from patterns.shop.saw.guide import deepest_that_follows
from patterns.shop.saw.guide_room import GuideRoom
from patterns.shop.saw.long_bench import much_words, short_words
from patterns.shop.saw.saw_rules import Leans
from patterns.shop.saw.saw_setup import ROCKS, Rip, SawSetup
from patterns.shop.woods import HANDBOOK
from patterns.units.lengths import shown_step, write_length

STRAIGHT = 1e6  # mm; a cut that turns to a kilometre is straight
PRACTICE = "common practice, no single source"
RIPPING = (
    "Never saw freehand at a tilt. Cut the piece free last, from stock wide enough to hold; support both sides and the "
    "part that falls; wedge the kerf; stand out of line; guards stay on. A tilted shoe is less steady; strips pinch, "
    "sag and kick. Let the blade stop before you lift the saw; unplug it to set or change the tilt. "
    "Guard hearing, eyes and lungs. Shapes only, not strength: follow local codes, your saw's own instructions and a "
    "licensed professional."
)
BENDING = (
    "Bent stock stores energy: clamp it before you let go, keep your face out of line, have help with long pieces, "
    "cover your eyes. Steam and hot water burn; clamps and forms creak before they fail. Shapes only, not strength: "
    "follow local codes and a licensed professional."
)


def no_less(mm: float, show: str) -> str:
    """A length rounded up: a board must be no less."""
    step = shown_step(show)
    return write_length(float(np.ceil(mm / step - 1e-6)) * step, show)


def no_more(mm: float, show: str) -> str:
    """A length rounded down: what a board has is no more."""
    step = shown_step(show)
    return write_length(float(np.floor(mm / step + 1e-6)) * step, show)


def degrees(angle: float) -> str:
    return f"{abs(float(np.degrees(angle))):.1f}°"


def bevel_word(angle: float) -> str:
    """A net bevel: degrees off square and which way."""
    if abs(np.degrees(angle)) < 0.05:
        return "square"
    return f"{degrees(angle)} {'standing' if angle > 0 else 'under'}"


def side_word(above: bool) -> str:
    return "away from you" if above else "toward you"


def step_words(setup: SawSetup, rip: Rip, show: str) -> list[str]:
    """The deeds of one rip, in order; the sawyer stands at the foot of the drawing, bow to his left."""
    piece = setup.piece
    upper_away = (rip.edge.out > 0) == (rip.edge.name == "upper")
    lay = (
        f"Dress the stock to {write_length(piece.thickness, show)}. Lay it {rip.edge.up.upper()} UP, bow to your left, "
        f"upper edge {side_word(upper_away)}."
    )
    near = "against" in rip.edge.up
    finished = "Draw the finished line from the pattern" if near else "Draw the finished line of the far face"
    mark = f"{finished}. Set off the saw line outside it by the table; spring a batten through the points and draw it."
    return [
        lay,
        mark,
        *_guide_words(setup, rip, show),
        _tilt_words(setup, rip, show),
        *_saw_words(setup, rip, show),
    ]


def _guide_words(setup: SawSetup, rip: Rip, show: str) -> list[str]:
    own = rip.setting
    where = "over the piece" if rip.guide_on_piece else "on the rest of the board"
    side = side_word(rip.guide_side > 0)
    if own.distance is None:
        return [
            "No test cuts in [saw] guide: saw scrap at this tilt, measure from shoe edge to the near side of the kerf, "
            f"and tack the guide batten that far from the saw line, on the side {side}, {where}"
            f"{', adding the kerf' if not rip.guide_on_piece else ''}."
        ]
    kerf = "" if rip.guide_on_piece else ", the kerf included"
    told = [
        f"Tack the guide batten {where}, on the side {side}. Set it off from the saw line by the table{kerf}, and run "
        "it half a shoe past both ends of the stock. Sight it for fairness; check it by a string from end mark to end "
        "mark."
    ]
    if setup.saw.pins:
        told.append(f"The shoe bears by its two pins, {write_length(setup.saw.pins, show)} apart.")
    elif own.rocks > ROCKS:
        told.append(
            f"Where the guide bulges the shoe can rock by {write_length(own.rocks, show)}: press it on abreast of the "
            "blade."
        )
    return told


def _first_words(rip: Rip) -> list[str]:
    """Why this edge comes first: a builder who saws the other one first has both guides bulging."""
    if rip.order != 1 or not rip.hollow:
        return []
    return [f"Saw the {rip.edge.name} edge first: it is the hollow edge, and the shoe cannot rock on a hollow guide."]


def _room_words(room: GuideRoom, show: str) -> list[str]:
    """A guide stands further off than most boards are wide."""
    wants = no_less(room.wants, show)
    strip = "close beside its edge, both fast to the bench, and tack the guide to that"
    if room.has is None:
        return [
            f"Shoe and guide batten need {wants} of wood from the saw line on that side: where the board is narrower, "
            f"lay a strip of the same thickness {strip}."
        ]
    if not room.short:
        return []
    return [
        f"THE BOARD REACHES ONLY {write_length(room.has, show)} past the saw line on that side; shoe and guide batten "
        f"need {wants}. Lay a strip of the same thickness, {no_less(room.short, show)} wide or more, {strip}."
    ]


def _tilt_words(setup: SawSetup, rip: Rip, show: str) -> str:
    own = rip.setting
    if own.tilt == 0:
        return "Set the blade square by a try square, not by the scale."
    toward = "toward the guide" if setup.saw.leans is Leans.UNDER else "away from the guide"
    out = "outward, away from the piece" if own.outward else "inward, under the piece"
    return (
        f"Set the tilt to {degrees(own.tilt)} with a bevel gauge, not by the scale. The blade's foot must lean "
        f"{toward}, {out}: it leaves the lower face {write_length(abs(own.aside), show)} from the saw line. If your "
        "saw leans the other way, stop: see leans in [saw]."
    )


def _saw_words(setup: SawSetup, rip: Rip, show: str) -> list[str]:
    blade = rip.setting.blade
    push = ""
    if rip.toward_aft is not None:
        push = " Push from the " + ("fore end aft." if rip.toward_aft else "after end forward.")
    if blade.too_deep:
        return [
            f"STOP: at this tilt your saw cuts {write_length(blade.most, show)} deep, which does not come through "
            "this stock. Read the note beside the drawing before you saw this edge."
        ]
    return [
        f"Blade {write_length(blade.depth, show)} below the shoe, just through. Run the shoe edge you tested along "
        f"the guide, kerf outside the saw line.{push} Saw a foot of scrap first and measure it."
    ]


def note_words(setup: SawSetup, rip: Rip, room: GuideRoom | None, show: str) -> list[str]:
    """What stands beside the drawing of the set-up: what to look out for with this board, blade and tilt."""
    told = [*_first_words(rip), *(_room_words(room, show) if room else ()), *_blade_words(setup, rip, show)]
    if rip.short:
        short = short_words(rip, setup.saw)
        told.append(short.replace("a tilt", "A tilt", 1))
    if rip.much:
        told.append(much_words(setup, rip, show).replace("this cut", "THIS CUT", 1))
    return told


def _blade_words(setup: SawSetup, rip: Rip, show: str) -> list[str]:
    """Whether the blade comes through, and whether it can follow the curve."""
    blade = rip.setting.blade
    if blade.too_deep:
        return ["THE BLADE DOES NOT COME THROUGH: saw from both faces, or use a larger saw or a band saw."]
    if not blade.follows:
        return [_rubbing_words(setup, rip, show)]
    if not blade.freely:
        return ["The blade follows this curve but only just: feed slowly, let it cut its own way, watch for heat."]
    if blade.tightest > STRAIGHT:
        return []
    return [
        f"The blade follows: this cut turns to {write_length(blade.tightest, show)} at the tightest, and it would rub "
        f"below {no_less(blade.least, show)}."
    ]


def _rubbing_words(setup: SawSetup, rip: Rip, show: str) -> str:
    blade = rip.setting.blade
    if blade.clearance <= 0:
        told = "its blade is as thick as its kerf, so it cuts straight lines only"
        return f"THE BLADE RUBS: {told}. Use a jigsaw or a band saw."
    depth = deepest_that_follows(setup.saw, blade, tilt=rip.setting.tilt)
    return (
        f"THE BLADE RUBS: this cut turns to {write_length(blade.tightest, show)}, it follows "
        f"{no_less(blade.least, show)}. It follows {write_length(depth, show)} deep; or use a smaller blade, a jigsaw "
        "or a band saw."
    )


def range_words(rip: Rip, setup: SawSetup, show: str) -> str:
    """Several settings, each with its range."""
    if not rip.ranges:
        return ""
    told = []
    for one in rip.ranges:
        guide = f", guide {write_length(one.distance, show)} off" if one.distance is not None else ""
        start, end = (write_length(max(x - rip.edge.within[0], 0.0), show) for x in (one.first, one.last))
        told.append(f"{start} to {end} at {degrees(one.tilt)}{guide}")
    return "Less is left to plane with several settings, from the fore end: " + "; ".join(told) + "."


def bend_words(bend: BendVerdict, material: str, show: str) -> list[str]:
    """The verdict, its figures, and where they come from."""
    if not np.isfinite(bend.flat_radius):
        told = ["Lies straight: no bending."]
    else:
        told = [
            f"VERDICT: {bend.way.value}.",
            f"Tightest flatwise (out of the face) {write_length(bend.flat_radius, show)} radius at "
            f"{_at(bend, 'flat_at', show)}: {bend.flat_ratio:.0f} thicknesses. Over 100 springs cold, 60 to 100 "
            f"needs a sample, under 60 steam, laminations or the saw ({PRACTICE}); dry stock breaks near 20 to 30 (a "
            "university extension's wood text).",
        ]
    if bend.wood and bend.share and np.isfinite(bend.flat_radius):
        told.append(
            f"Bent cold the surface is strained to {100 * bend.share:.0f} % of what breaks clear, straight, dry wood "
            f"({bend.wood.species}: rupture over stiffness, {HANDBOOK}; averages, and knots break sooner)."
            f"{_run_out_words(bend)}"
        )
    elif np.isfinite(bend.flat_radius):
        unknown = "its material is not stated" if material == NOT_STATED else f"{material} is not among them"
        told.append(f"No strain is figured from the handbook's woods: {unknown}. Use radius over thickness alone.")
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
    return [*told, *_other_ways(bend, show)]


def _run_out_words(bend: BendVerdict) -> str:
    """What the run-out of the grain makes of that strain; nothing where it costs no strength."""
    if bend.strained is None or bend.strength >= 1:
        return ""
    return (
        f" The grain runs out and leaves {100 * bend.strength:.0f} % of the strength, so the strain is "
        f"{100 * bend.strained:.0f} % of what breaks this board."
    )


def _other_ways(bend: BendVerdict, show: str) -> list[str]:
    layers = bend.layers
    if layers is None:
        return []
    sample = "" if bend.way is not Way.TRY else "If the sample breaks: "
    laminate = (
        f"laminate {layers.count} layers of {write_length(layers.thickness, show)}, strips "
        f"{no_less(layers.strip, show)} long; "
        f"glued to the curve they spring back about {write_length(layers.springs_back, show)} of its "
        f"{write_length(bend.depth, show)} depth (1/n² of it, geometry)."
    )
    sawn = f"Sawn to its flatwise shape it would need a board {no_less(bend.sawn_from, show)} wide."
    return [f"{sample}{laminate if sample else laminate.capitalize()} {EPOXY} {sawn}"]


def _at(bend: BendVerdict, which: str, show: str) -> str:
    spot = getattr(bend, which)
    return spot.name or f"{write_length(spot.along, show)} from the fore end"
