"""Where the long lines of a table lie to each other on the ends of the boat and along the centre."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from patterns.errors import Problem
from patterns.geometry.arrays import Floats
from patterns.geometry.cuts import Profile
from patterns.hull.build import Joint, KeelJoint, strake_names, within_sentence
from patterns.hull.offsets import Offsets
from patterns.hull.table_form import HALF_BREADTHS, HEIGHTS, TableForm
from patterns.reading.boat.planking_asked import strakes_asked
from patterns.reading.toml.boat_tables import BoatToml
from patterns.reading.wording import quoted
from patterns.units.lengths import INCH, write_length
from patterns.units.notations import write_offset

PAST_PROFILE = INCH / 2  # mm; how far a line may end above or below its profile, which then runs on straight
PAST_CHINE = INCH / 2  # mm a keel may begin ahead of the lowest chine: what a table's end figures are good for
ONE_SIDING = 1.0  # mm; as near as a plan is scaled, half a siding is the same
TIMBER = ("stem", "sternpost")  # ends that lines run to at one half-breadth, each at its own height


def faults_of_keel(offsets: Offsets, form: TableForm) -> Iterator[Problem]:
    """A V bottom ends on the centre plane, or on a keel of one siding."""
    row = offsets.half_breadth("keel")
    if row is None or not _chines(offsets):
        return
    given = row.values[np.isfinite(row.values)]
    usual = float(np.median(given))
    off = np.flatnonzero(np.abs(row.values - usual) > max(offsets.rounding, ONE_SIDING))
    if not len(off):
        return
    wanted = "0, or half the siding of one keel from end to end: the bottom ends on the center line or on a keel's face"
    if len(off) == 1:
        column = int(off[0])
        steady = write_offset(usual, form.notation)
        where, found = form.cell(HALF_BREADTHS, "keel", column), write_offset(float(row.values[column]), form.notation)
        yield Problem(where, quoted(found), f"{steady} as in the other columns; {wanted}")
    else:
        low, high = (write_offset(float(end), form.notation) for end in (given.min(), given.max()))
        yield Problem(row.cell, f"half-breadths from {low} to {high}", wanted)


def faults_of_ends(offsets: Offsets, form: TableForm, fore: Floats, aft: Floats) -> Iterator[Problem]:
    """Lines on a stem or a sternpost: each in its own place, and the keel no further out than the chine above it."""
    for column, profile, outward in ((0, fore, -1.0), (len(offsets.columns) - 1, aft, 1.0)):
        if offsets.columns[column] in TIMBER:
            yield from _faults_in_one_place(offsets, form, column)
            yield from _faults_of_heel(offsets, form, profile, column, outward)


def faults_of_siding(toml: BoatToml, offsets: Offsets, form: TableForm, where: str) -> Iterator[Problem]:
    """A bottom that ends on a keel whose siding the table does not give: it would end on the centre line."""
    joint, row = toml.planking.bottom.keel_joint, offsets.half_breadth("keel")
    if joint not in (KeelJoint.ON_KEEL, KeelJoint.RABBET) or "keel" not in offsets.lines or not _chines(offsets):
        return
    if row is None or np.nanmax(row.values, initial=0.0) <= 0.0:
        siding = f"half the keel's siding in a row 'keel' among the {HALF_BREADTHS} of {form.file}"
        wanted = f"{siding}, or '{KeelJoint.HALF_ANGLE}'"
        yield Problem(where, quoted(joint), wanted)


def faults_of_laps(toml: BoatToml, offsets: Offsets, where: str, show: str) -> Iterator[Problem]:
    """A lap wider than the strake it lies on."""
    if toml.laps is None:
        return
    narrowest = (np.inf, "")
    for strake, (upper, lower) in zip(strakes_asked(toml, offsets.lines), pairwise(offsets.lines), strict=False):
        if strake.chine is Joint.LAPPED:
            widths = zip(_widths(offsets, upper, lower).tolist(), offsets.columns[1:-1], strict=True)
            places = ((width, f"{within_sentence(strake.name)} has at station {name}") for width, name in widths)
            narrowest = min(narrowest, *(place for place in places if np.isfinite(place[0])))
    if narrowest[0] <= toml.laps.width:
        wanted = f"less than the {write_length(narrowest[0], show)} that {narrowest[1]}"
        yield Problem(where, write_length(toml.laps.width, show), wanted)


def _widths(offsets: Offsets, upper: str, lower: str) -> Floats:
    """(stations,) mm straight from line to line at every column between the ends, NaN where a figure is missing."""
    heights = offsets.height(upper).values - offsets.height(lower).values
    outer, inner = offsets.half_breadth(upper), offsets.half_breadth(lower)
    breadths = (outer.values if outer else 0.0) - (inner.values if inner else 0.0)
    return np.asarray(np.hypot(heights, breadths)[1:-1])


def _faults_in_one_place(offsets: Offsets, form: TableForm, column: int) -> Iterator[Problem]:
    """Two lines that end together, so that the strake between them has no end there."""
    end = offsets.columns[column]
    names = strake_names(len(_chines(offsets)) + 1)
    for name, (upper, lower) in zip(names, pairwise(offsets.lines), strict=False):
        apart = offsets.height(upper).values - offsets.height(lower).values
        # A V bottom may run out to nothing where chine and keel meet; a row that is a copy is told as a copy.
        copied = np.nanmax(np.abs(apart), initial=0.0) <= offsets.rounding
        if lower != "keel" and not copied and abs(apart[column]) <= offsets.rounding:
            low = float(offsets.height(lower).values[column])
            found = f"{quoted(_given(low, form))}, where the {upper} ends too"
            dies = f"between them {within_sentence(name)} would have no end"
            wanted = f"the {lower} lower on the {end} than the {upper}: {dies}"
            yield Problem(form.cell(HEIGHTS, lower, column), found, wanted)


def _faults_of_heel(
    offsets: Offsets, form: TableForm, profile: Floats, column: int, outward: float
) -> Iterator[Problem]:
    chines = _chines(offsets)
    if not chines or offsets.lines[-1] != "keel":
        return
    heights = np.array([offsets.height(line).values[column] for line in (chines[-1], "keel")])
    if heights.min() < profile[-1, 1] - PAST_PROFILE:  # off the profile, and told
        return
    chine, keel = Profile(profile).at_height(heights)
    if outward * (keel - chine) > PAST_CHINE:
        end = offsets.columns[column]
        at, ends_at = (write_offset(float(x), form.notation) for x in (keel, chine))
        further, beyond = ("or more", "ahead of") if outward < 0 else ("or less", "abaft")
        found = f"{quoted(_given(float(heights[1]), form))}, {at} from FP on the {end}"
        wanted = (
            f"a keel that meets the {end} at {ends_at} from FP {further}, where the {chines[-1]} ends: the bottom has "
            f"no edge {beyond} it. Look at the profile's foot too"
        )
        yield Problem(form.cell(HEIGHTS, "keel", column), found, wanted)


def _given(height: float, form: TableForm) -> str:
    """A height as the table has it."""
    return write_offset(form.datum.given(height), form.notation)


def _chines(offsets: Offsets) -> list[str]:
    return [line for line in offsets.lines if line.startswith("chine")]
