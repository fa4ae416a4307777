"""What bench sheets say: steps at the saw, verdicts, boards and scarfs, in the builder's units."""

from __future__ import annotations

import numpy as np

from patterns.shop.bend_verdict import BendVerdict, Way
from patterns.shop.board_layout import BoardPlace, LeastBoard
from patterns.shop.guide import deepest_that_follows
from patterns.shop.long_bench import BenchPiece, short_words
from patterns.shop.saw_rules import Leans
from patterns.shop.saw_setup import Rip, SawSetup
from patterns.shop.scarfs import WITNESS, ScarfPlan
from patterns.shop.woods import GRAIN_SOURCE, HANDBOOK
from patterns.units.lengths import shown_step, write_length

ROCKS = 0.4  # mm; less is within the thickness of a pencil line
PRACTICE = "common practice, no single source"
RIPPING = (
    "Never saw freehand at a tilt. Cut the piece from stock wide enough to hold, and last; support both sides and the "
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


def fine(mm: float, show: str) -> str:
    """A small length, finer than the bench's own step where that is a fraction of an inch."""
    return write_length(mm, "in-32nds" if "ths" in show or "nds" in show else show)


def no_less(mm: float, show: str) -> str:
    """A length rounded up: a board must be no less."""
    step = shown_step(show)
    return write_length(float(np.ceil(mm / step - 1e-6)) * step, show)


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
    net = "Draw its net edge from the pattern" if "against" in rip.edge.up else "Draw the far face's net edge"
    mark = f"{net}; set the saw line off outside it by the table, spring a batten through and draw it."
    return [lay, mark, *_guide_words(setup, rip, show), _tilt_words(setup, rip, show), *_saw_words(setup, rip, show)]


def _guide_words(setup: SawSetup, rip: Rip, show: str) -> list[str]:
    own = rip.setting
    where = "over the piece" if rip.guide_on_piece else "on the rest of the board"
    side = side_word(rip.guide_side > 0)
    if own.distance is None:
        return [
            "No test cuts in [saw] guide: saw scrap at this tilt, measure from shoe edge to the near side of the kerf, "
            f"and tack the guide so far from the saw line, {side}, {where}"
            f"{', adding the kerf' if not rip.guide_on_piece else ''}."
        ]
    kerf = "" if rip.guide_on_piece else ", the kerf included"
    told = [
        f"Tack the guide batten {where}, {side} of the saw line, so far from it as the table says{kerf}, on past both "
        "ends of the stock by half a shoe. Sight it for fairness and check it by a string from end mark to end mark."
    ]
    if setup.saw.pins:
        told.append(f"The shoe bears by its two pins, {write_length(setup.saw.pins, show)} apart.")
    elif own.rocks > ROCKS:
        told.append(
            f"Where the guide bulges the shoe can rock by {fine(own.rocks, show)}: press it on abreast of the blade."
        )
    return told


def _tilt_words(setup: SawSetup, rip: Rip, show: str) -> str:
    own = rip.setting
    if own.tilt == 0:
        return "Set the blade square by a try square, not by the scale."
    toward = "toward the guide" if setup.saw.leans is Leans.UNDER else "away from the guide"
    out = "outward, away from the piece" if own.outward else "inward, under the piece"
    return (
        f"Set the tilt to {degrees(own.tilt)} with a bevel gauge, not by the scale. The blade's foot must lean "
        f"{toward}, {out}: it leaves the lower face {fine(abs(own.aside), show)} from the saw line. If your saw leans "
        "the other way, stop: see leans in [saw]."
    )


def _saw_words(setup: SawSetup, rip: Rip, show: str) -> list[str]:
    own, blade = rip.setting, rip.setting.blade
    push = ""
    if rip.toward_aft is not None:
        push = " Push from the " + ("fore end aft." if rip.toward_aft else "after end forward.")
    told = [
        f"Blade {fine(blade.depth, show)} below the shoe, just through. Run the shoe edge you tested along the guide, "
        f"kerf outside the saw line.{push} Saw a foot of scrap first and measure it."
    ]
    if blade.too_deep:
        told.append("THE BLADE DOES NOT COME THROUGH: saw from both faces, or use a larger saw or a band saw.")
    elif not blade.follows:
        told.append(_rubbing_words(setup, rip, show))
    elif not blade.freely:
        told.append("The blade follows this curve but only just: feed slowly, let it cut its own way, watch for heat.")
    if rip.short:
        told.append(short_words(rip.wanted, own.tilt, tested=bool(setup.saw.guide)).replace("a tilt", "A tilt", 1))
    return told


def _rubbing_words(setup: SawSetup, rip: Rip, show: str) -> str:
    blade = rip.setting.blade
    if blade.clearance <= 0:
        told = "its plate is as thick as its kerf, so it cuts straight lines only"
        return f"THE BLADE RUBS: {told}. Use a jigsaw or a band saw."
    depth = deepest_that_follows(setup.saw, blade, tilt=rip.setting.tilt)
    return (
        f"THE BLADE RUBS: this cut turns to {write_length(blade.tightest, show)}, it follows "
        f"{no_less(blade.least, show)}. It follows {fine(depth, show)} deep; or use a smaller blade, a jigsaw or a "
        "band saw."
    )


def range_words(rip: Rip, setup: SawSetup, show: str) -> str:
    """Several settings, each with its range."""
    if not rip.ranges:
        return ""
    told = []
    for one in rip.ranges:
        guide = f", guide {fine(one.distance, show)} off" if one.distance is not None else ""
        start, end = (write_length(max(x - rip.edge.within[0], 0.0), show) for x in (one.first, one.last))
        told.append(f"{start} to {end} at {degrees(one.tilt)}{guide}")
    return "Less is left to plane with several settings, from the fore end: " + "; ".join(told) + "."


def bend_words(bend: BendVerdict, show: str) -> list[str]:
    """The verdict, its figures, and where they come from."""
    if not np.isfinite(bend.flat_radius):
        told = ["Lies straight: no bending."]
    else:
        told = [
            f"VERDICT: {bend.way.value}.",
            f"Tightest flatwise (out of the face) {write_length(bend.flat_radius, show)} radius at "
            f"{_at(bend, 'flat_at', show)}: {bend.flat_ratio:.0f} thicknesses. Over 100 springs cold, 60 to 100 "
            f"wants a sample, under 60 steam, laminations or the saw ({PRACTICE}); dry stock breaks near 20 to 30 (a "
            "university extension's wood text).",
        ]
    if bend.wood and bend.share and np.isfinite(bend.flat_radius):
        told.append(
            f"Bent cold the surface is strained to {100 * bend.share:.0f} % of what breaks clear, straight, dry wood "
            f"({bend.wood.species}: rupture over stiffness, {HANDBOOK}; averages, knots and run-out break sooner)."
        )
    if np.isfinite(bend.edge_radius):
        told.append(
            f"Tightest edgewise (in the face) {write_length(bend.edge_radius, show)}, {bend.edge_ratio:.0f} widths, at "
            f"{_at(bend, 'edge_at', show)}: sawn to the pattern no edge set is left; sprung from straight stock "
            f"{fine(bend.edge_set, show)} of sweep would be forced edgewise."
        )
    if bend.twist > 1e-7:
        told.append(
            f"Twist at most {np.degrees(bend.twist) * 304.8:.1f}° per foot ({np.degrees(bend.twist) * 1000:.1f}° per "
            f"metre), at {_at(bend, 'twist_at', show)}; no published limit is known to us."
        )
    return [*told, *_other_ways(bend, show)]


def _other_ways(bend: BendVerdict, show: str) -> list[str]:
    layers = bend.layers
    if layers is None:
        return []
    sample = "" if bend.way is not Way.TRY else "If the sample breaks: "
    laminate = (
        f"laminate {layers.count} layers of {fine(layers.thickness, show)}, strips {no_less(layers.strip, show)} long; "
        f"glued to the curve they spring back about {fine(layers.springs_back, show)} of its "
        f"{fine(bend.depth, show)} depth (1/n² of it, geometry)."
    )
    sawn = f"Sawn to its flatwise shape it would want a board {no_less(bend.sawn_from, show)} wide."
    return [f"{sample}{laminate if sample else laminate.capitalize()} {sawn}"]


def _at(bend: BendVerdict, which: str, show: str) -> str:
    place = getattr(bend, which)
    return place.name or f"{write_length(place.along, show)} from the fore end"


def board_words(made: BenchPiece, show: str) -> list[str]:
    """Where the piece lies on the builder's wood, or what wood it wants."""
    place = made.place
    told = [_place_words(place, made, show)] if place else []
    if made.scarfs:
        told += scarf_words(made.scarfs, show)
    return [*told, _least_words(made.least, show, both=made.piece.part.hand != "none")]


def _place_words(place: BoardPlace, made: BenchPiece, show: str) -> str:
    turned = [word for word, done in (("turned over", place.turned_over), ("end for end", place.end_for_end)) if done]
    laid = f", {' and '.join(turned)}," if turned else ""
    from_end = write_length(place.along, show)
    grain = (
        f"the grain runs out no steeper than 1 in {place.one_in:.0f}" if np.isfinite(place.one_in) else "grain straight"
    )
    left = place.strength
    if left is None:
        strength = "steeper than any published figure: find a board with more sweep"
    elif left < 1:
        strength = f"about {100 * left:.0f} % of the bending strength is left ({GRAIN_SOURCE})"
    else:
        strength = f"no loss counted ({GRAIN_SOURCE}: 1 in 15 or flatter)"
    pair = ""
    if place.pair is not None:
        pair = (
            f" Both hands come out of it, {fine(place.pair, show)} apart: mark this one on one face, turn the board "
            "over and mark the other hand on the other face, face against the planking up each time."
        )
    return (
        f"Board {place.number}{laid} seen on the face against the planking: stock begins {from_end} from its "
        f"{'right' if place.end_for_end else 'left'} end; {grain}: {strength}. Straightest grain at the hard end; "
        f"flatter than 1 in 12 in sprung stock ({PRACTICE}).{pair}"
    )


def _least_words(least: LeastBoard, show: str, *, both: bool) -> str:
    grain = f", run-out 1 in {least.one_in:.0f}" if np.isfinite(least.one_in) else ""
    pair = f"; {no_less(least.pair_width, show)} wide for both hands" if both else ""
    return (
        f"Least straight-grained board: {no_less(least.length, show)} long, {no_less(least.width, show)} wide{pair}, "
        f"{no_less(least.thickness, show)} thick when dressed{grain}; 3 in (75 mm) of it to spare at each end."
    )


def scarf_words(plan: ScarfPlan, show: str) -> list[str]:
    boards = ", ".join(write_length(length, show) for length in plan.boards)
    told = [
        f"No board is long enough. Scarf {len(plan.boards)} lengths, fore to aft: {boards}; "
        f"{write_length(plan.gross, show)} in all. Each scarf {plan.ratio:g} to 1, "
        f"{write_length(plan.length, show)} long."
    ]
    for one in plan.scarfs:
        clear = "" if one.clear else " IT CROSSES A FRAME: no bay has the room."
        fore, aft = one.witness
        told.append(
            f"Scarf {one.bay}, middle {write_length(one.middle, show)} from the fore end along the lower edge; feather "
            f"edges at {write_length(one.fore_tip, show)} on the face against the planking and "
            f"{write_length(one.after_tip, show)} on the other. Strike lines square across at "
            f"{write_length(fore, show)} and {write_length(aft, show)}: glued, {write_length(2 * WITNESS, show)} apart "
            f"and in line.{clear}"
        )
    if not plan.staggered:
        told.append("Both hands are scarfed in one bay: no other has the room.")
    return told
