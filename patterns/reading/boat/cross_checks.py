"""What boat.toml and the table of offsets must agree on."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

import numpy as np

from patterns.errors import Problem
from patterns.geometry.arrays import Floats
from patterns.geometry.cuts import Profile
from patterns.hull.offsets import AFT_ENDS, FORE_ENDS, Offsets
from patterns.hull.round.figures import is_round
from patterns.hull.table_form import HALF_BREADTHS, HEIGHTS, TableForm
from patterns.parts.asked.rules import FramePlace
from patterns.reading.boat.absurd_sizes import faults_of_limit, faults_of_sizes
from patterns.reading.boat.afloat_checks import faults_of_afloat
from patterns.reading.boat.boat_long import faults_of_logs, faults_of_stringers
from patterns.reading.boat.diagonals_asked import faults_of_diagonals
from patterns.reading.boat.fairing_asked import fairing_rules, faults_of_fairing
from patterns.reading.boat.frame_checks import faults_of_boards, faults_of_building, faults_of_own_frames
from patterns.reading.boat.knuckles_asked import faults_of_knuckles
from patterns.reading.boat.line_checks import (
    PAST_PROFILE,
    faults_of_ends,
    faults_of_keel,
    faults_of_laps,
    faults_of_siding,
)
from patterns.reading.boat.places import place_from_fp, stations_or_distance
from patterns.reading.boat.planking_asked import chine_joints, faults_of_planking, planked_lines
from patterns.reading.boat.round_checks import faults_of_layers, faults_of_round
from patterns.reading.boat.round_lines import faults_of_round_lines
from patterns.reading.boat.router_checks import faults_of_router, faults_of_stock
from patterns.reading.boat.sheets_asked import faults_of_sheets
from patterns.reading.boat.yard_checks import faults_of_yard
from patterns.reading.toml.boat_tables import BoatToml
from patterns.reading.toml.faults import cell
from patterns.reading.toml.lines_tables import LinesToml
from patterns.reading.toml.toml_lines import Path
from patterns.reading.wording import quoted
from patterns.units.datums import BASE
from patterns.units.lengths import default_show, write_length
from patterns.units.notations import write_offset
from patterns.units.papers import paper_size

LEAST_BOW = 1.25  # radius of a bowed transom over its half-breadth; under that its corners turn past 53 degrees
SAME_PLACE = 0.5  # mm; closer than a pencil line, two frames are one to the builder


def faults_of_lines(
    toml: LinesToml, offsets: Offsets, form: TableForm, *, file: str, lines: Mapping[Path, int]
) -> Iterator[Problem]:
    """Every fault of the lines that shows only when both files are read."""
    fore, aft = profiles(toml, offsets)
    yield from _faults_of_ends(toml, offsets, form, file, lines)
    yield from _faults_of_printer(toml, file, lines)
    yield from faults_of_fairing(toml, offsets, file, lines)
    yield from faults_of_knuckles(toml, offsets, fairing_rules(toml, offsets), file, lines)
    yield from faults_of_diagonals(toml, offsets, form, file, lines)
    show = shown(toml, form)
    yield from faults_of_round_lines(toml, offsets, form, file=file, lines=lines, show=show)
    yield from faults_of_limit(toml, file=file, lines=lines, show=show)
    yield from faults_of_keel(offsets, form)
    if fore is None or aft is None:
        return
    if fore[:, 0].max() >= aft[:, 0].min():
        where = cell(file, lines, (offsets.columns[-1].replace(" ", "_"), "profile"))
        yield Problem(where, "an after end ahead of the fore end", "distances from FP, running aft")
        return
    yield from _faults_of_bowed_ends(toml, offsets, cell_of=lambda end: cell(file, lines, (end, "radius")), show=show)
    yield from _faults_of_end_heights(offsets, form, fore, 0)
    yield from _faults_of_end_heights(offsets, form, aft, len(offsets.columns) - 1)
    yield from faults_of_ends(offsets, form, fore, aft)
    yield from _faults_of_stations(offsets, form, fore, aft)
    yield from _faults_of_line_ends(offsets, form, fore, aft)


def faults_of_wood(
    toml: BoatToml, offsets: Offsets, form: TableForm, *, file: str, lines: Mapping[Path, int]
) -> Iterator[Problem]:
    """Every fault of the wood that shows only when both files are read."""
    fore, aft = profiles(toml, offsets)
    yield from faults_of_own_frames(toml.frame or [], toml.frames.stations if toml.frames else (), file, lines)
    show = shown(toml, form)
    yield from faults_of_building(toml.building, _heads(toml, offsets), file=file, lines=lines, show=show)
    yield from faults_of_boards(toml.frames, toml.frame or [], file, lines)
    yield from faults_of_planking(toml, planked_lines(offsets), table=form.file, file=file, places=lines, show=show)
    yield from faults_of_layers(toml, file, lines, show, round_hull=is_round(offsets))
    if is_round(offsets):
        yield from faults_of_round(toml, file, lines)
    yield from faults_of_laps(toml, offsets, cell(file, lines, ("laps", "width")), show)
    yield from faults_of_sheets(toml, file, lines, show)
    yield from faults_of_logs(toml.chine_log or [], chine_joints(toml, planked_lines(offsets)), file, lines)
    yield from faults_of_stringers(toml.stringer or [], file, lines)
    yield from faults_of_sizes(toml, offsets, file=file, lines=lines, show=show)
    yield from faults_of_router(toml, file, lines, show)
    yield from faults_of_stock(toml, file, lines, show)
    yield from faults_of_yard(toml, file, lines, show)
    yield from faults_of_siding(toml, offsets, form, cell(file, lines, ("planking", "bottom", "keel_joint")))
    if fore is not None and aft is not None and fore[:, 0].max() < aft[:, 0].min():
        yield from _faults_of_frames(toml, offsets, form, fore, aft, cell(file, lines, ("frames", "stations")))
        yield from faults_of_afloat(toml, fore, aft, file=file, lines=lines, show=show)


def shown(toml: LinesToml, form: TableForm) -> str:
    """How lengths are printed: as boat.toml says, or as goes with its units or the table's."""
    return toml.boat.show or default_show(toml.boat.units or form.notation.unit)


def frame_places(toml: BoatToml, offsets: Offsets) -> tuple[FramePlace, ...]:
    """The frames the builder asks for, those that can be placed, in the order written."""
    stations = toml.frames.stations if toml.frames else ()
    places = ((name, place_from_fp(name, toml.boat.units, offsets)) for name in stations)
    return tuple(FramePlace(name, x) for name, x in places if x is not None)


def _heads(toml: BoatToml, offsets: Offsets) -> dict[str, float]:
    """mm above base, the table's sheer at each frame, straight between stations: near enough for a refusal."""
    x, height = offsets.from_fp, offsets.height("sheer").values
    given = np.isfinite(x) & np.isfinite(height)
    places = frame_places(toml, offsets) if given.sum() > 1 else ()
    return {
        one.name: float(np.interp(one.from_fp, x[given], height[given]))
        for one in places
        if x[given].min() <= one.from_fp <= x[given].max()
    }


def profiles(toml: LinesToml, offsets: Offsets) -> tuple[Floats | None, Floats | None]:
    """(n, 2) mm, the profiles of the table's two ends; None for an end boat.toml says nothing of."""
    fore, aft = (_profile(toml, name) for name in (offsets.columns[0], offsets.columns[-1]))
    return fore, aft


def _profile(toml: LinesToml, column: str) -> Floats | None:
    table = getattr(toml, column.replace(" ", "_"))
    return None if table is None else np.array(table.profile)


def _faults_of_ends(
    toml: LinesToml, offsets: Offsets, form: TableForm, file: str, lines: Mapping[Path, int]
) -> Iterator[Problem]:
    """The ends declared must be those of the table."""
    used = (offsets.columns[0], offsets.columns[-1])
    for end in FORE_ENDS + AFT_ENDS:
        key = end.replace(" ", "_")
        declared = getattr(toml, key) is not None
        if end in used and not declared:
            wanted = f"it, because {form.file} has a column '{end}'"
            yield Problem(cell(file, lines, (key,)), "no such table", wanted)
        elif declared and end not in used:
            wanted = f"the ends {form.file} has columns for, '{used[0]}' and '{used[1]}'"
            yield Problem(cell(file, lines, (key,)), "a table", wanted)


def _faults_of_printer(toml: LinesToml, file: str, lines: Mapping[Path, int]) -> Iterator[Problem]:
    printer = toml.printer
    room = paper_size(printer.paper)[0] - 2 * printer.margin
    # Each tile must bring more new drawing than it repeats.
    if room <= 2 * printer.overlap:
        found = f"{max(room, 0.0):.0f} mm of {printer.paper} between the margins"
        wanted = f"more than twice the overlap of {printer.overlap:.0f} mm"
        yield Problem(cell(file, lines, ("printer",)), found, wanted)


def _faults_of_bowed_ends(
    toml: LinesToml, offsets: Offsets, *, cell_of: Callable[[str], str], show: str
) -> Iterator[Problem]:
    """A transom bowed on a radius must reach from side to side with room for its planking."""
    for end, column in ((toml.bow_transom, 0), (toml.transom, -1)):
        if end is None or end.radius is None:
            continue
        half = max(float(np.nan_to_num(row.values[column])) for row in offsets.half_breadths)
        if end.radius < LEAST_BOW * half:
            wanted = f"at least {write_length(LEAST_BOW * half, show)}, {LEAST_BOW} of its half-breadth"
            yield Problem(cell_of("transom" if column else "bow_transom"), write_length(end.radius, show), wanted)


def _faults_of_end_heights(offsets: Offsets, form: TableForm, profile: Floats, column: int) -> Iterator[Problem]:
    top, foot = profile[0, 1], profile[-1, 1]
    for name in offsets.lines:
        height = offsets.height(name).values[column]
        if not foot - PAST_PROFILE <= height <= top + PAST_PROFILE:
            # As the table gives it: measured down, the foot of the profile has the larger figure.
            low, high = (write_offset(form.datum.given(float(z)), form.notation) for z in (foot, top))
            aside = "" if form.datum == BASE else f" (measured from the {form.datum.name}; the profile from base)"
            wanted = f"a height on the profile of the {offsets.columns[column]}, from {low} to {high}{aside}"
            found = quoted(write_offset(form.datum.given(float(height)), form.notation))
            yield Problem(form.cell(HEIGHTS, name, column), found, wanted)


def _faults_of_stations(offsets: Offsets, form: TableForm, fore: Floats, aft: Floats) -> Iterator[Problem]:
    first, last = fore[:, 0].min(), aft[:, 0].max()
    for column, x in enumerate(offsets.from_fp):
        if x < first or x > last:
            where = f"{form.file}, row {form.from_fp_row}, column '{form.columns[column]}'"
            low, high = (write_offset(float(end), form.notation) for end in (first, last))
            wanted = f"a station between the ends of the boat, {low} and {high} from FP"
            yield Problem(where, quoted(form.from_fp[column]), wanted)


def _faults_of_line_ends(offsets: Offsets, form: TableForm, fore: Floats, aft: Floats) -> Iterator[Problem]:
    """Offsets of a line where, by the profiles, the line is not: ahead of its fore end or abaft its after end."""
    for name in offsets.lines:
        heights = offsets.height(name).values
        first, last = (float(Profile(end).at_height(heights[[at]])[0]) for end, at in ((fore, 0), (aft, -1)))
        for kind, row in ((HEIGHTS, offsets.height(name)), (HALF_BREADTHS, offsets.half_breadth(name))):
            for column in np.flatnonzero(~np.isnan(row.values[1:-1])) + 1 if row else ():
                x = float(offsets.from_fp[column])
                # Beyond the boat's own ends the station itself is the fault, and told.
                if not fore[:, 0].min() <= x <= aft[:, 0].max() or first < x < last:
                    continue
                end, place = (offsets.columns[0], first) if x <= first else (offsets.columns[-1], last)
                where, station = (write_offset(at, form.notation) for at in (place, x))
                found = f"an offset at {station} from FP"
                wanted = (
                    f"nothing there: on the profile of the {end} the {name} ends at {where} from FP. Leave the cell "
                    "blank, or set the profile right"
                )
                yield Problem(form.cell(kind, name, int(column)), found, wanted)


def _faults_of_frames(
    toml: BoatToml, offsets: Offsets, form: TableForm, fore: Floats, aft: Floats, where: str
) -> Iterator[Problem]:
    show = shown(toml, form)
    low, high = (write_length(float(end[0, 0]), show) for end in (fore, aft))
    placed: list[FramePlace] = []
    for name in toml.frames.stations if toml.frames else ():
        x = place_from_fp(name, toml.boat.units, offsets)
        twin = next((p for p in placed if x is not None and abs(p.from_fp - x) < SAME_PLACE), None)
        if x is None:
            yield Problem(where, quoted(name), stations_or_distance(offsets))
        elif twin is not None:
            again = "again" if twin.name == name else f"where '{twin.name}' stands"
            yield Problem(where, f"{quoted(name)} {again}", "each frame once")
        elif not fore[0, 0] < x < aft[0, 0]:
            yield Problem(where, quoted(name), f"a frame between the ends of the sheer, {low} and {high} from FP")
        if x is not None:
            placed.append(FramePlace(name, x))
