"""The whole boat: from what the builder wrote to every part, in one deed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace

import numpy as np

from patterns.errors import ShapeError, UnknownNameError, while_making
from patterns.geometry.short_repr import one_line
from patterns.hull.build import Stem, end_word, within_sentence
from patterns.hull.doubts.judged_rows import Suspect
from patterns.hull.doubts.row_doubts import row_doubts
from patterns.hull.doubts.suspect_wording import advised, row_place, row_told, told, where
from patterns.hull.doubts.suspects import ACCUSED, suspects
from patterns.hull.fairing import FairedCut, FairedLine
from patterns.hull.planking.skin import TWIST_TOLD, Hull, plank
from patterns.hull.planking.strakes import Corner, Strake
from patterns.hull.planking.transition import (
    STEEP_MITRE,
    STEEPEST_LAP,
    SteepEdge,
    Transition,
    steepest_edge,
    transition,
)
from patterns.hull.round.figures import is_round
from patterns.hull.round.planked import plank_round
from patterns.hull.round.round_hull import RoundHull
from patterns.hull.round.skin_lines import skin_lines
from patterns.parts.asked.end_rules import StemWork, TransomWork
from patterns.parts.asked.long_rules import ChineLogRules
from patterns.parts.asked.rules import Boat, FrameRules, Way
from patterns.parts.cautions import Caution, fairing_cautions, hard_turn_cautions, profile_cautions, row_cautions
from patterns.parts.clashes import clashes
from patterns.parts.ends.round_keel import cut_round_keel
from patterns.parts.ends.round_stem import cut_round_stem
from patterns.parts.ends.stem import cut_stem
from patterns.parts.ends.transom import behind_openings, cut_transom, framing_parts
from patterns.parts.faired import fair_cuts_of, fair_hull, fair_lines
from patterns.parts.fittings.fittings import fittings
from patterns.parts.frames.centre_timbers import on_centre
from patterns.parts.frames.frame import shape_frame
from patterns.parts.frames.frame_pieces import frame_parts
from patterns.parts.grain import with_grain
from patterns.parts.long.log import water_held
from patterns.parts.long.long_pieces import LongPiece
from patterns.parts.long.longitudinals import long_pieces, solids
from patterns.parts.long.skeg import cut_skeg
from patterns.parts.long.solids import Solid
from patterns.parts.long.v_keel import VKeel, cut_v_skeg, v_keels
from patterns.parts.panels.long_panels import LongPanels, join_long_panels
from patterns.parts.panels.mating import Mating, matings
from patterns.parts.panels.panels import panels
from patterns.parts.part import Part
from patterns.parts.role import TIMBERS
from patterns.parts.round_cautions import round_cautions
from patterns.parts.stands import FrameStand, stand_frame
from patterns.units.lengths import write_length

LOOK_FIRST = 3  # offsets named when a hull cannot be made of a table
DOUBTED = 1.0  # log odds from which they are: less than it takes to accuse a figure where the hull can be made
SUSPECT_MOVE = 6.35  # mm (1/4 in); offsets moved further are suspect, common practice, no single source


@dataclass(frozen=True, slots=True, eq=False)
class Job:
    """Everything the geometry gives for one boat."""

    boat: Boat
    lines: tuple[FairedLine, ...]
    cuts: tuple[FairedCut, ...]  # waterlines, diagonals and buttocks, where the table has any
    hull: Hull
    stands: tuple[tuple[FrameRules, FrameStand], ...]  # the frames and where they stand, fore to aft as they are named
    parts: tuple[Part, ...]
    matings: tuple[Mating, ...]
    warnings: tuple[Caution, ...]
    suspects: tuple[Suspect, ...]  # figures of the table that the rest contradicts
    long_pieces: tuple[LongPiece, ...]
    keels: tuple[VKeel, ...] = ()  # keel batten and keelson of a V bottom
    long_panels: LongPanels = LongPanels()
    surface: RoundHull | None = None  # of a round hull, which its moulds and ends are cut to

    def __repr__(self) -> str:
        return one_line(self, f"{self.boat.name}: {len(self.parts)} parts, {len(self.warnings)} warnings")

    def part(self, title: str) -> Part:
        """The part of a title, such as "frame 3" or "side panel, port"; of a joined panel its pieces too.

        Raises
        ------
        UnknownNameError
            No part has it: a PatternsError and a KeyError, with the titles most like it.
        """
        parts = {part.title: part for part in (*self.parts, *self.pieces)}
        if title not in parts:
            raise UnknownNameError("part", title, (part.title for part in self.parts))
        return parts[title]

    @property
    def pieces(self) -> tuple[Part, ...]:
        """What the joined panels are made of."""
        return tuple(piece for joined in self.long_panels.joined for piece in joined.cut)

    @property
    def timbers(self) -> tuple[Part, ...]:
        """What the patterns of whole sawn frames show already, as far as their joint lines."""
        return tuple(part for part in self.parts if part.role in TIMBERS)

    @property
    def numbers(self) -> dict[str, int]:
        """A number for every piece of wood, by its title: what a router engraves where it has no letters for a name."""
        return {part.title: number for number, part in enumerate((*self.parts, *self.pieces), start=1)}

    @property
    def to_cut(self) -> tuple[Part, ...]:
        """Every piece of wood still to be cut: joined panels and sawn frames by the pieces they are made of."""
        cut: dict[str, tuple[Part, ...]] = {joined.panel.title: joined.cut for joined in self.long_panels.joined}
        # A frame's own pattern is for setting up the timbers it is made of.
        cut |= {timber.of: () for timber in self.timbers}
        pieces = (piece for part in self.parts for piece in cut.get(part.title, (part,)))
        return tuple(piece for piece in pieces if not piece.as_cut)


@dataclass(frozen=True, slots=True, eq=False)
class _Skin:
    """The hull, where its frames stand in it, and its panels."""

    hull: Hull
    stands: tuple[tuple[FrameRules, FrameStand], ...]
    panels: tuple[Part, ...]


def loft(boat: Boat, lines: tuple[FairedLine, ...] | None = None) -> Job:
    """Fair the lines, lay the skin and take every part off it.

    Parameters
    ----------
    lines : tuple of FairedLine, optional
        Lines to take in place of the faired ones, as where the boat stands otherwise already.

    Raises
    ------
    ShapeError
        Good input that makes no boat, or one whose patterns are not made yet.
    """
    if is_round(boat.offsets):
        return loft_round(boat, fair_hull(boat))
    lines, cuts = lines or fair_lines(boat), fair_cuts_of(boat)
    with table_looked_at(boat, least=DOUBTED):
        hull = plank(lines, skin=boat.skin, fore=boat.fore, aft=boat.aft)
        skin = _planked(boat, hull)
    with table_looked_at(boat, least=ACCUSED):
        return _joined(_fitted_out(boat, lines, cuts, skin))


def loft_round(boat: Boat, faired: RoundHull) -> Job:
    """The same of a round hull, whose table has been faired as one surface.

    Raises
    ------
    ShapeError
        As `loft`.
    """
    with table_looked_at(boat, least=ACCUSED):
        hull = plank_round(faired, skin=boat.skin, fore=boat.fore, aft=boat.aft)
        return _fitted_out(boat, *skin_lines(faired), _planked(boat, hull), faired)


@contextmanager
def table_looked_at(boat: Boat, *, least: float) -> Iterator[None]:
    """Write a refusal in the builder's units, with rows and figures of the table that may be its cause.

    Parameters
    ----------
    least : float
        Log odds from which a figure is named. The hull hangs on the table alone; what is made in it hangs on the sizes
        in boat.toml as well, so that only figures accused in any case are named there.
    """
    try:
        yield
    except ShapeError as error:
        told = [error.told(lambda length: write_length(length, boat.show))]
        rows = [f"{row_place(one, boat.offsets)}{row_told(one)}" for one in row_doubts(boat.offsets)]
        if rows:
            told = [*rows, f"With the table as it is, the boat cannot be made: {told[0]}"]
        else:
            told += _look_first(boat, least)
        raise ShapeError("\n".join(told)) from error


def _planked(boat: Boat, hull: Hull) -> _Skin:
    rules = [(boat.frames.at(place), place) for place in boat.frames.places] if boat.frames else []
    stands = tuple((own, stand_frame(hull, own, place)) for own, place in rules)
    return _Skin(hull, stands, panels(hull, tuple(stand for _, stand in stands), show=boat.show))


def _fitted_out(
    boat: Boat,
    lines: tuple[FairedLine, ...],
    cuts: tuple[FairedCut, ...],
    skin: _Skin,
    faired: RoundHull | None = None,
) -> Job:
    hull, stands = skin.hull, tuple(stand for _, stand in skin.stands)
    long = long_pieces(hull, boat.long, stands, show=boat.show)
    keels = v_keels(hull, boat.long, stands, show=boat.show)
    make_skeg = cut_v_skeg if hull.seam else cut_skeg
    skeg = (make_skeg(hull, boat.long.skeg, stands, show=boat.show),) if boat.long.skeg else ()
    wood = (*solids(long), *(keel.solid for keel in keels))
    backbone = (cut_round_keel(hull, boat.keel, stands, show=boat.show),) if boat.keel and hull.smooth else ()
    ends = tuple(_ends(boat, hull, wood))
    timbers = on_centre((*ends, *backbone)) if hull.smooth else ()
    shapes = [
        shape_frame(hull, own, stand, solids=wood, building=boat.building, timbers=timbers, show=boat.show)
        for own, stand in skin.stands
    ]
    sets = [frame_parts(shape) for shape in shapes]
    frames, pieces = tuple(one.whole for one in sets), [piece for one in sets for piece in one.pieces]
    fitted = fittings(hull, boat.fitted, stands, inwale=boat.long.inwale, show=boat.show)
    made = (
        *skin.panels,
        *frames,
        *pieces,
        *ends,
        *(piece.part for piece in long),
        *(keel.part for keel in keels),
        *skeg,
        *backbone,
        *fitted,
    )
    parts = with_grain(made, boat.grain)
    accused = faired.suspects if faired else suspects(boat.offsets, fore=boat.fore, aft=boat.aft)
    return Job(
        boat=boat,
        lines=lines,
        cuts=cuts,
        hull=hull,
        stands=skin.stands,
        parts=parts,
        matings=matings(hull, [panel for panel in skin.panels if panel.hand != "port"], shapes),
        warnings=(
            *row_cautions(boat),
            *_accused(boat, accused, faired),
            *_doubts(parts),
            *_warnings(boat, hull, lines, faired),
            *_strongback_in_the_way(boat, lines),
            *(told for corner in hull.corners for told in _lap_ends(hull, corner, boat.show)),
            *_tops_that_hold_water(long, boat.show),
            *clashes(long, keels, boat.fitted.thwarts, show=boat.show),
        ),
        suspects=accused,
        long_pieces=long,
        keels=keels,
        surface=faired,
    )


def _joined(job: Job) -> Job:
    """The same job, its long panels with their joints."""
    boat = job.boat
    if boat.joints is None:
        return job
    wood = {stand.line: stand.wood * own.sided for own, stand in job.stands}

    def write(length: float) -> str:
        return write_length(length, boat.show)

    long_panels = join_long_panels(job.parts, job.hull, wood, rules=boat.joints, write=write)
    told = tuple(Caution(panel, words) for panel, words in long_panels.told)
    return replace(job, parts=long_panels.marked(job.parts), warnings=(*job.warnings, *told), long_panels=long_panels)


def _ends(boat: Boat, hull: Hull, wood: tuple[Solid, ...]) -> Iterator[Part]:
    """Transom and stem, from aft, with what belongs to them."""
    for end, work, aft in ((boat.aft, boat.aft_work, True), (boat.fore, boat.fore_work, False)):
        with while_making(end_word(end, aft=aft)):
            if isinstance(end, Stem):
                asked = work if isinstance(work, StemWork) else StemWork()
                cut = cut_round_stem if hull.smooth else cut_stem
                yield from cut(hull, end, asked, show=boat.show, aft=aft)
                continue
            own = work if isinstance(work, TransomWork) else TransomWork()
            board = cut_transom(hull, end, own, solids=wood, show=boat.show, aft=aft)
            yield board
            if own.framing:
                framing = framing_parts(hull, end, own.framing, wood, show=boat.show, aft=aft)
                yield from behind_openings(framing, board, boat.show)


def _warnings(boat: Boat, hull: Hull, lines: tuple[FairedLine, ...], faired: RoundHull | None) -> tuple[Caution, ...]:
    twisted = (told for strake in hull.paired for told in _twisted(hull, strake, boat.show))
    corners = (told for aft in (False, True) for told in profile_cautions(boat, aft=aft))
    if faired:
        return (*_wide_limit(boat), *round_cautions(boat, faired), *corners)
    return (*_wide_limit(boat), *fairing_cautions(boat, lines), *hard_turn_cautions(lines), *corners, *twisted)


def _strongback_in_the_way(boat: Boat, lines: tuple[FairedLine, ...]) -> Iterator[Caution]:
    """Right side up the boat stands over her strongback."""
    lowest = min(float(line.height.faired.min()) for line in lines)
    building = boat.building
    if building and building.way is Way.RIGHT_SIDE_UP and building.strongback > max(lowest, 0.0):
        top, low = (write_length(mm, boat.show) for mm in (building.strongback, lowest))
        yield Caution(
            "strongback",
            f"its top, {top} above base, lies above the lowest point of her lines, at {low}: right side up she stands "
            "over it. A top below base is written with a minus.",
        )


def _accused(boat: Boat, accused: tuple[Suspect, ...], faired: RoundHull | None) -> Iterator[Caution]:
    """Figures in doubt; of a round hull some are not heeded, where the surface has no place for them."""
    without = {(one.line, one.view, one.column) for one in faired.figures if one.left_out} if faired else set()
    for one in accused:
        gone = " The surface goes without that figure." if one.place in without else ""
        yield Caution(where(one), f"{advised(one, boat.offsets, boat.show)}{gone}")


def _doubts(parts: Sequence[Part]) -> Iterator[Caution]:
    return (Caution(part.title, doubt) for part in parts for doubt in part.doubts)


def _tops_that_hold_water(long: tuple[LongPiece, ...], show: str) -> list[Caution]:
    told = []
    for piece in long:
        if isinstance(piece.rules, ChineLogRules) and piece.part.hand == "starboard":
            text = water_held(piece.places, piece.rules, show)
            told += [Caution(piece.name, text)] if text else []
    return told


def _lap_ends(hull: Hull, corner: Corner, show: str) -> list[Caution]:
    chine = transition(hull, corner)
    steep = steepest_edge(hull, corner)
    if steep and steep.off_square > STEEP_MITRE:
        return [_steep_mitre(steep, corner, show)]
    if corner.above_runs_on:
        return _thin_edges(chine, corner, show)
    if chine.at is None:
        return []
    below, above = within_sentence(corner.below.name), within_sentence(corner.above.name)
    if chine.nowhere:
        text = (
            f"{below} cannot lap over {above} anywhere, for they turn less than {np.degrees(STEEPEST_LAP):.0f}°. Both "
            'edges are planed to the half angle, and wood is left for that. Write chine_joint = "half angle" at this '
            "chine, and both are drawn to their finished lines."
        )
    else:
        where = write_length(chine.at.from_fp, show)
        text = (
            f"{below} cannot lap over {above} forward of {where} from FP: both edges are planed to the half angle "
            "there, see the panels"
        )
    return [Caution(corner.line, text)]


def _steep_mitre(steep: SteepEdge, corner: Corner, show: str) -> Caution:
    """Strakes of two thicknesses are planed ever steeper the less they turn, until their insides meet."""
    return Caution(
        corner.line,
        f"{corner.above.name} and {corner.below.name} are not of one thickness and turn only "
        f"{np.degrees(steep.turn):.0f}° at {write_length(steep.from_fp, show)} from FP. So an edge is planed "
        f"{np.degrees(steep.off_square):.0f}° off square. Such an edge is thin and breaks. Use planking of one "
        "thickness there.",
    )


def _thin_edges(chine: Transition, corner: Corner, show: str) -> list[Caution]:
    """A strake let in behind the one above bears on it with an edge that is planed ever thinner the less they turn."""
    flattest = chine.widest
    if abs(flattest.lap) <= STEEPEST_LAP:
        return []
    return [
        Caution(
            corner.line,
            f"{corner.above.name} and {corner.below.name} turn only {np.degrees(np.pi - flattest.opening):.0f}° at "
            f"{write_length(flattest.from_fp, show)} from FP. So the edge of {corner.below.name} is planed "
            f"{abs(np.degrees(flattest.lap)):.0f}° off square. Such an edge is thin and breaks. Use chine_joint = "
            '"half angle" at this chine.',
        )
    ]


def _look_first(boat: Boat, least: float) -> Iterator[str]:
    """The offsets a misprint is likeliest among, in the builder's own units."""
    worst = suspects(boat.offsets, fore=boat.fore, aft=boat.aft, least=least, most=LOOK_FIRST)
    if worst:
        unsure = "" if worst[0].odds >= ACCUSED else "No figure is surely wrong. "
        yield f"{unsure}If the hull should be sound, look first at the figures that suit the others least:"
        yield from (f"  {where(one)}: {told(one, boat.offsets, boat.show)}" for one in worst)
    elif least == DOUBTED:
        yield "No single figure of the table stands out from the rest as wrong."


def _wide_limit(boat: Boat) -> list[Caution]:
    """A limit so wide that a batten may hide a misprint."""
    if boat.fair_within <= SUSPECT_MOVE:
        return []
    given, usual = (write_length(length, boat.show) for length in (boat.fair_within, SUSPECT_MOVE))
    text = f"{given} lets a batten move an offset further than the {usual} past which a misprint is suspected"
    return [Caution("[boat] fair_within", f"{text}: look at every move.")]


def _twisted(hull: Hull, strake: Strake, show: str) -> list[Caution]:
    """Where a strake cannot be laid without forcing it."""
    twist, x = hull.worst_twist(strake)
    if twist < TWIST_TOLD:
        return []
    fore, aft = hull.twisted_stretch(strake)
    return [
        Caution(
            strake.panel,
            f"twists up to {np.degrees(twist):.1f}° along a ruling, {write_length(x, show)} from FP, and is twisted "
            f"from {write_length(fore, show)} to {write_length(aft, show)} from FP: plywood must be forced there, and "
            "the unrolled shape is only near.",
        )
    ]
