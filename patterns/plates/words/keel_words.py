"""What the page of a V bottom's keel batten or keelson says: bent or sawn, and each cut."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from patterns.plates.words.bench_words import PRACTICE, degrees, no_less, side_word
from patterns.shop.saw.bend_verdict import EASY, SAMPLE
from patterns.shop.saw.keel_cuts import KeelBench, KeelCut
from patterns.shop.saw.saw_rules import Leans, SawRules
from patterns.units.lengths import write_length


def bend_words(made: KeelBench, show: str) -> Iterator[str]:
    """How it is bent over the frames, and what is planed then."""
    keel, name = made.keel, made.keel.name
    sided, moulded = (write_length(mm, show) for mm in (keel.rules.sided, keel.rules.moulded))
    if np.isfinite(made.radius):
        tightest = (
            f" Its tightest radius is {write_length(made.radius, show)}, {made.ratio:.0f} times its height, at "
            f"{write_length(made.at, show)} from its fore end. Over {EASY:.0f} springs cold, {SAMPLE:.0f} to "
            f"{EASY:.0f} needs a sample, under {SAMPLE:.0f} is sawn, steamed or laminated ({PRACTICE})."
        )
    else:
        tightest = ""
    yield (
        f"BEND IT. Rip straight stock {sided} wide and {moulded} thick. Bend it over the frames into their notches. "
        f"Fasten it from amidships toward the ends.{tightest}"
    )
    if keel.bevelled:
        yield (
            f"Then plane each half of its lower edge in its place, from the {name}'s side to the middle. Lay a "
            "straightedge athwart, along the lower edge of a frame: it must lie on both."
        )
        off = degrees(np.pi / 2 - made.steepest)
        yield f"No saw does this: with its shoe on the wide face it would have to tilt {off} or more."


def saw_words(made: KeelBench, saw: SawRules | None, show: str) -> Iterator[str]:
    """How it is sawn to its outline."""
    keel = made.keel
    board = (
        f"OR SAW IT to its outline, from a board {write_length(keel.rules.sided, show)} thick and at least "
        f"{no_less(made.width, show)} wide. Add the wood that saw and guide need beside it."
    )
    if made.cannot:
        yield f"{board} {made.cannot}: saw it on a band saw, square, and plane the halves to the bevels of the table."
        return
    if saw is None:
        yield f"{board} Without [saw] in boat.toml no tilts and guides are worked out."
        return
    leans = "toward the guide" if saw.leans is Leans.UNDER else "away from the guide"
    yield f"{board} Lay the board on its side. A tilted blade's foot must lean {leans}, away from the piece."


def cut_words(cut: KeelCut, show: str) -> str:
    """One cut."""
    side, setting = "port" if cut.port_up else "starboard", cut.setting
    lay = f"{side.upper()} side up, bow to your left, upper edge {side_word(cut.port_up)}."
    tilt = f"tilt {degrees(setting.tilt)}" if setting.tilt else "blade square"
    middle = ", just past the middle" if cut.to_middle else ", just through"
    where = "over the piece" if cut.guide_on_piece else "on the rest of the board"
    guide = f"Guide batten {where}, on the side {side_word(cut.guide_above)}"
    guide += ", off the saw line by the table." if setting.distance is not None else "; test this tilt on scrap first."
    push = ""
    if cut.toward_aft is not None:
        push = f" Push from the {'fore end aft' if cut.toward_aft else 'after end forward'}."
    short = ""
    if cut.short:
        short = f" A tilt of {degrees(cut.wanted)} leaves less to plane, but your saw or its test cuts do not reach it."
    other = ""
    if cut.to_middle and cut.line != "bevel line":
        other = " Then turn the board over and saw from the other side in the same way."
    return (
        f"{lay} Saw outside the {cut.line}, {tilt}, blade {write_length(setting.blade.depth, show)} below the "
        f"shoe{middle}. "
        f"{guide}{push}{other}{short}"
    )
