"""What a seam is fastened with: wood screws as they are sold, in inches or in millimetres."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from patterns.shop.fastening.rules import FastenRules
from patterns.units.lengths import INCH

SIZES = tuple((gauge, (0.060 + 0.013 * gauge) * INCH, length * INCH) for gauge, length in (
    (4, 0.625), (6, 0.75), (8, 1.25), (10, 1.75), (12, 2.5), (14, 4.0),
))  # fmt: skip
"""(number, mm shank, mm the longest it is proposed for). Shanks: 0.060 in and 0.013 in for each number (ASME B18.6.1,
Wood Screws). Which number for which length is common practice, no single source."""
METRIC_SIZES = ((3.0, 16.0), (3.5, 25.0), (4.0, 40.0), (4.5, 50.0), (5.0, 70.0), (6.0, 120.0))
"""(mm nominal diameter, mm the longest it is proposed for): nominal diameters of DIN 97 and DIN 7997, countersunk wood
screws, from memory. Which diameter for which length is common practice, no single source."""
EIGHTHS = tuple(float(eighths) * INCH / 8 for eighths in range(3, 33))
METRIC_LENGTHS = (10.0, 12.0, 16.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0, 120.0)
"""mm, lengths that screws are sold in: by eighths of an inch from 3/8 on; nominal lengths of DIN 97, from memory."""
ROOT = 2 / 3  # of a shank: the root of a wood screw's thread. Common practice, no single source
LEADS = (0.7, 0.9)  # of the root: lead hole in soft wood and in hard wood. Common practice, no single source


@dataclass(frozen=True, slots=True)
class Fastening:
    """What a seam is fastened with: wood screws, or nails of that length."""

    length: float  # mm; of what goes right through, the thickness of the wood
    number: int | None  # of an inch screw; None for a metric one, and where the builder gives his own shank
    shank: float  # mm
    through: bool = False  # there is too little wood for any screw: a rivet or a small bolt goes right through

    @property
    def leads(self) -> tuple[float, float]:
        """mm, diameters of the pilot for its thread in soft and in hard wood; of a rivet its own hole."""
        if self.through:
            return self.shank, self.shank
        soft, hard = (share * ROOT * self.shank for share in LEADS)
        return soft, hard


def fastening_for(thickness: float, behind: float | None, rules: FastenRules) -> Fastening:
    """So many times the thickness fastened, no longer than wood is behind; both mm, ``behind`` None where it is deep.

    A length between two that are sold is taken up where there is wood for it, else down: a point that comes through is
    worse than one a little short.
    """
    sold = METRIC_LENGTHS if rules.metric else EIGHTHS
    most = np.inf if behind is None else thickness + behind - rules.short_of
    able = [length for length in sold if length <= most + 1e-6]
    if behind is not None and (not able or able[-1] <= thickness):
        return Fastening(thickness + behind, None, rules.shank or METRIC_SIZES[0][0], through=True)
    length = next((length for length in able if length >= rules.length_times * thickness - 1e-6), able[-1])
    if rules.shank is not None:
        return Fastening(length, None, rules.shank)
    if rules.metric:
        return Fastening(length, None, next((d for d, to in METRIC_SIZES if length <= to), METRIC_SIZES[-1][0]))
    number, shank, _ = next((one for one in SIZES if length <= one[2] + 1e-6), SIZES[-1])
    return Fastening(length, number, shank)
