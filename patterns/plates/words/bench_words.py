"""What bench sheets say: steps at the saw and how the piece is held, in the builder's units."""

from __future__ import annotations

import numpy as np

from patterns.geometry.arrays import run_along
from patterns.shop.saw.edge_views import NEAR
from patterns.shop.saw.guide import deepest_that_follows
from patterns.shop.saw.guide_room import CLEAR, GuideRoom, screw_free, screws_clear
from patterns.shop.saw.long_bench import much_words, short_words
from patterns.shop.saw.saw_rules import Leans
from patterns.shop.saw.saw_setup import ROCKS, Rip, SawSetup
from patterns.units.lengths import INCH, shown_step, write_length
from patterns.units.weights import METRIC

WEDGE = 24 * INCH  # mm between wedges in the kerf: common practice, no single source
UNCUT = INCH  # mm at the far end that a hand saw finishes: common practice, no single source
HOLDING_PAGE = "HOLDING THE LAST CUT"  # its title; the sheets of last cuts refer to it
PRACTICE = "common practice, no single source"


def no_less(mm: float, show: str) -> str:
    """A length rounded up: a board must be no less."""
    step = shown_step(show)
    return write_length(float(np.ceil(mm / step - 1e-6)) * step, show)


def no_more(mm: float, show: str) -> str:
    """A length rounded down: what a board has is no more."""
    step = shown_step(show)
    return write_length(float(np.floor(mm / step + 1e-6)) * step, show)


def rule_of_thumb(mm: float, show: str) -> str:
    """A length that practice gives in round inches, in round millimeters where the builder reads those."""
    if show not in METRIC:
        return write_length(mm, show)
    step = 50.0 if mm > 100.0 else 5.0 if mm > 20.0 else 1.0
    return write_length(step * round(mm / step), show)


def degrees(angle: float) -> str:
    return f"{abs(float(np.degrees(angle))):.1f}°"


def bevel_word(angle: float) -> str:
    """A net bevel: degrees off square and which way."""
    if abs(np.degrees(angle)) < 0.05:
        return "square"
    return f"{degrees(angle)} {'standing' if angle > 0 else 'under'}"


def side_word(above: bool) -> str:
    return "away from you" if above else "toward you"


def step_words(setup: SawSetup, rip: Rip, room: GuideRoom | None, show: str, *, both: bool = False) -> list[str]:
    """The deeds of one rip, in order; the sawyer stands at the foot of the drawing, bow to his left.

    Where one sheet is for ``both`` hands, starboard lies with its bow to his right, and every word holds for it too.
    """
    return [
        _lay_words(setup, rip, show, both=both),
        _mark_words(setup, rip),
        *_guide_words(setup, rip, room, show),
        _tilt_words(setup, rip, show),
        *_saw_words(setup, rip, show),
    ]


def _lay_words(setup: SawSetup, rip: Rip, show: str, *, both: bool) -> str:
    upper_away = (rip.edge.out > 0) == (rip.edge.name == "upper")
    bow = "PORT bow to your left, STARBOARD bow to your right" if both else "bow to your left"
    how = f"{rip.edge.up.upper()} UP, {bow}, upper edge {side_word(upper_away)}"
    if rip.order == 1:
        thick = write_length(setup.piece.thickness, show)
        return f"Dress the stock to {thick}. Lay it on a flat spoil board, {how}."
    if rip.edge.up == setup.rips[0].edge.up:
        return f"Leave the stock as it lay for rip 1, {bow}."
    return f"Turn the stock over: {how}."


def _mark_words(setup: SawSetup, rip: Rip) -> str:
    face = "" if rip.edge.up == NEAR else " of the far face, by set-in and set-out from the page of its stock"
    same_face = setup.rips[0].edge.up == setup.rips[1].edge.up
    off = f"Set off the saw line outside the finished line of the {rip.edge.name} edge by the table; spring a batten "
    off += "through the points and draw it."
    if rip.order == 2 and same_face:
        return off
    where = "Lay the pattern where the page of its stock says. " if rip.order == 1 and not face else ""
    lines = "both finished lines" if same_face else "the finished line"
    return f"{where}Draw {lines}, the ends and every mark{face}. {off}"


def _guide_words(setup: SawSetup, rip: Rip, room: GuideRoom | None, show: str) -> list[str]:
    own = rip.setting
    where = "over the piece" if rip.guide_on_piece else "on the rest of the board"
    if room is None or room.short:
        where += " or on the strip beside it"
    side = side_word(rip.guide_side > 0)
    if own.distance is None:
        return [
            "No test cuts in [saw] guide: saw scrap at this tilt, measure from shoe edge to the near side of the kerf, "
            f"and fix the guide batten that far from the saw line, on the side {side}, {where}"
            f"{', adding the kerf' if not rip.guide_on_piece else ''}."
        ]
    kerf = "" if rip.guide_on_piece else ", the kerf included"
    told = [
        f"Fix the guide batten {where}, on the side {side}. Set it off from the saw line by the table{kerf}, and run "
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
    return [f"Saw the {rip.edge.name} edge first: it is the hollow edge, where the shoe cannot rock."]


def room_words(room: GuideRoom | None, show: str) -> list[str]:
    """A guide stands further off than most boards are wide."""
    if room is None:
        return []
    wants = no_less(room.wants, show)
    strip = "close beside its edge, both fast to the bench, for the guide to lie on"
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


def screw_words(setup: SawSetup, rip: Rip, show: str) -> str:
    """Where no screw or nail goes: of guide, strip and board alike, and from beneath too."""
    free, side = screw_free(setup, rip), side_word(rip.guide_side > 0)
    near, far = no_less(free.guide_side, show), no_less(free.other_side, show)
    told = f"NO SCREW OR NAIL within {near} of the saw line on the side {side}, nor within {far} on the other side"
    piece = "the piece" if rip.guide_on_piece else "the piece between its waste ends"
    told += f": that is {piece}, the blade's path, and {rule_of_thumb(CLEAR, show)} to spare."
    if not free.guide_clear:
        told += " The guide batten lies within: clamp it past both ends of the stock, and do not tack it between."
    return f"{told} Sink every head under the shoe below the face it runs on."


def holding_words(show: str) -> list[str]:
    """How a piece is held that is itself what falls off: its last cut frees it, the saw on the rest of the board."""
    return [
        "The last cut of every piece frees it: the piece is the part that falls off. Lay board, strip and piece on one "
        "flat spoil board as long as the stock, so that nothing sags when the kerf opens.",
        "Screw blocks against the edge that is already sawn, lower than the face. The shoe passes over the piece: put "
        "no clamp on it.",
        f"W: push a wedge into the kerf behind the saw every {rule_of_thumb(WEDGE, show)}, thick enough to keep it "
        "open and no thicker. C: clamp guide, strip and board where the shoe does not reach.",
        f"Stop the saw {rule_of_thumb(UNCUT, show)} before the far end of the stock, let the blade stop, lift the saw, "
        "and finish with a hand saw. Then draw wedges and screws and cut the ends.",
    ]


def end_words(*, screws: bool, show: str) -> str:
    """What holds the waste ends of a piece, by whether it is broad enough for screws clear of the blade."""
    if screws:
        return (
            "S: drive a screw through the middle of each waste end of the piece into the spoil board, "
            f"{rule_of_thumb(CLEAR, show)} or more past the finished end, head sunk below the face."
        )
    return (
        "S: the piece is too narrow for screws clear of the blade. Screw a block to the spoil board tight against each "
        "end of the piece, lower than its face."
    )


def frees_words(setup: SawSetup, rip: Rip) -> str:
    """On the sheet of the last cut: that it frees the piece, and where it is drawn how to hold it."""
    if rip.guide_on_piece:
        return ""
    ends = (
        "screws in its waste ends" if screws_clear(setup) else "blocks against its ends, for it is too narrow to screw"
    )
    return (
        f"THIS CUT FREES THE PIECE. Hold it as the page {HOLDING_PAGE} draws: {ends}, wedges in the kerf, no clamp "
        "where the shoe passes."
    )


def slope_words(angle: float, show: str) -> str:
    """An angle as a builder without a protractor sets it off: so far square to so long a line.

    >>> slope_words(float(np.radians(18.5)), "ft-in-16ths")
    '3 3/8" in 10"'
    """
    run = 200.0 if show in METRIC else 10 * INCH
    return f"{write_length(run * abs(float(np.tan(angle))), show)} in {write_length(run, show)}"


def _tilt_words(setup: SawSetup, rip: Rip, show: str) -> str:
    own = rip.setting
    if own.tilt == 0:
        return "Set the blade square by a try square, not by the scale."
    toward = "toward the guide" if setup.saw.leans is Leans.UNDER else "away from the guide"
    out = "outward, away from the piece" if own.outward else "inward, under the piece"
    return (
        f"Set the tilt to {degrees(own.tilt)} ({slope_words(own.tilt, show)}) with a bevel gauge, not by the scale. "
        f"The blade's foot must lean "
        f"{toward}, {out}: it leaves the lower face {write_length(abs(own.aside), show)} from the saw line. If your "
        "saw leans the other way, stop: see leans in [saw]."
    )


def _saw_words(setup: SawSetup, rip: Rip, show: str) -> list[str]:
    blade = rip.setting.blade
    push = ""
    if rip.toward_aft is not None:
        # Bow to the left of the sawyer, or both ends the other way about: one way to push in either case.
        push = f" Push from your {'left to your right' if rip.toward_aft else 'right to your left'}."
    if blade.too_deep:
        return [
            f"STOP: at this tilt your saw cuts {write_length(blade.most, show)} deep, which does not come through "
            "this stock. Read the note beside the drawing before you saw this edge."
        ]
    return [
        f"Blade {write_length(blade.depth, show)} below the shoe, just through. Run the shoe edge you tested along "
        f"the guide, kerf outside the saw line.{push} Saw a foot of scrap first and measure it."
    ]


def note_words(setup: SawSetup, rip: Rip, show: str) -> list[str]:
    """What stands beside the drawing of the set-up: what to look out for with this board, blade and tilt."""
    told = [*_first_words(rip), *_blade_words(setup, rip, show)]
    if rip.short:
        short = short_words(rip, setup.saw)
        told.append(short.replace("a tilt", "A tilt", 1))
    if rip.much:
        told.append(much_words(setup, rip, show).replace("do not rip it so", "DO NOT RIP IT SO", 1))
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
    return []


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
    told, start = [], 0.0
    for one in rip.ranges:
        guide = f", guide {write_length(one.distance, show)} off" if one.distance is not None else ""
        end = _along(rip, one.last)
        told.append(f"{write_length(start, show)} to {write_length(end, show)} at {degrees(one.tilt)}{guide}")
        start = end
    return "Less is left to plane with several settings, from the fore end: " + "; ".join(told) + "."


def _along(rip: Rip, x: float) -> float:
    """mm along the finished edge from its fore end, as the table counts it."""
    line = rip.edge.net[rip.edge.of_piece]
    return float(np.interp(x, line[:, 0], run_along(line))) + float(line[0, 0] - rip.edge.within[0])
