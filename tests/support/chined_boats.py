"""Random chined boats as a builder writes them: flat and V bottoms, many chines, prams, double-enders, lapped strakes.

Nothing here is imported by the program. Lengths mm. Amidships w = 0, and w = -1 and 1 are where a spindle of the
sheer's shape would come to its points. Each line lies below the one above by a height, and inboard by that at a flare,
so that strakes turn nearly as cylinders do and hardly twist.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from random import Random

import numpy as np
from boats import Floats
from scipy.optimize import brentq
from toml_written import Toml, toml_text

from patterns.hull.build import Joint, KeelJoint, LinesTo, Planking, Skin, Stem, Transom
from patterns.hull.planking.skin import Hull, plank

JOINTS = ("half angle", "lower over upper", "upper over lower")


@dataclass(frozen=True)
class ChinedForm:
    """A chined hull by what a designer would choose first."""

    half_length: float  # of the spindle
    beam: float  # half-breadth of the sheer amidships
    depth: float  # height of the sheer amidships
    spring: float  # rise of the sheer at the spindle's points
    drops: tuple[float, ...]  # mm each line lies below the one above, amidships
    flares: tuple[float, ...]  # degrees from upright, of the strake between them
    spread: float  # share by which the drops grow toward the points
    keel: float | None  # degrees of deadrise of a V bottom
    half: float = 0.0  # mm off the centre plane, where lines end on a stem and keel
    fore: float | None = None  # w at which a bow transom's head stands; None of a stem
    aft: float | None = None
    rakes: tuple[float, float] = (25.0, 12.0)  # degrees, of transoms

    @property
    def names(self) -> tuple[str, ...]:
        chines = len(self.drops)
        between = ("chine",) if chines == 1 else tuple(f"chine {number + 1}" for number in range(chines))
        return ("sheer", *between, *(("keel",) if self.keel is not None else ()))

    def at(self, number: int, x: Floats) -> tuple[Floats, Floats]:
        """Half-breadth and height of a line, from the sheer down, at distances from FP; past its ends too."""
        w = np.asarray(x, dtype=float) / self.half_length - 1.0
        y, z = self.beam * (1 - w**2) + self.half, self.depth + self.spring * w**2
        for drop, flare in zip(self.drops[:number], self.flares, strict=False):
            down = drop * (1 + self.spread * w**2)
            y, z = y - down * np.tan(np.radians(flare)), z - down
        if number > len(self.drops):
            assert self.keel is not None
            return np.full_like(y, self.half), z - (y - self.half) * np.tan(np.radians(self.keel))
        return y, z

    def end(self, number: int, *, aft: bool) -> float:
        """mm from FP, where a line ends."""
        place, middle = self.aft if aft else self.fore, self.half_length
        far = 2.2 * middle if aft else -0.2 * middle
        if place is None:
            last = min(number, len(self.drops))  # a keel begins where the lowest chine ends
            return float(brentq(lambda x: float(self.at(last, np.array(x))[0]) - self.half, middle, far))
        head = middle * (1 + place)
        top = float(self.at(0, np.array(head))[1])
        rake = np.tan(np.radians(self.rakes[aft])) * (-1 if aft else 1)
        return float(brentq(lambda x: x - head - (top - float(self.at(number, np.array(x))[1])) * rake, middle, far))

    def profile(self, *, aft: bool) -> list[list[float]]:
        """From FP and height, from the sheer down."""
        ends = [(x, float(self.at(k, np.array(x))[1])) for k in range(len(self.names)) for x in [self.end(k, aft=aft)]]
        if (self.aft if aft else self.fore) is not None:
            ends = [ends[0], ends[-1]]
        return [
            [round(x, 2), round(z, 2)] for (x, z), above in zip(ends, [(0.0, 1e9), *ends], strict=False)
            if z < above[1] - 0.5
        ]  # fmt: skip

    def rows(self, stations: int, rounding: float) -> list[list[str]]:
        """The table of offsets; a station ahead of where a line begins, or past where it ends, is blank."""
        ends = [(self.end(k, aft=False), self.end(k, aft=True)) for k in range(len(self.names))]
        x = np.linspace(min(e[0] for e in ends), max(e[1] for e in ends), stations + 2)[1:-1].round(0)

        def cells(number: int, view: int) -> list[str]:
            first, last = ends[number]
            at = np.concatenate([[first], x, [last]])
            values = np.round(self.at(number, at)[view] / rounding) * rounding
            own = (at >= first + 2.0) & (at <= last - 2.0)
            own[[0, -1]] = True
            return [f"{value:g}" if here else "" for value, here in zip(values.round(3), own, strict=True)]

        columns = ["stem" if self.fore is None else "bow transom", *(str(k + 1) for k in range(stations))]
        columns.append("sternpost" if self.aft is None else "transom")
        blank = [""] * (stations + 2)
        heights = [[name, *cells(number, 1)] for number, name in enumerate(self.names)]
        breadths = [[name, *cells(number, 0)] for number, name in enumerate(self.names)]
        if self.keel is not None and not self.half:
            breadths.pop()
        return [
            ["Boat", *columns], ["from FP", "", *(f"{one:g}" for one in x), ""],
            ["heights", *blank], *heights, ["half-breadths", *blank], *breadths,
        ]  # fmt: skip

    def ends_toml(self) -> Toml:
        found: Toml = {}
        for aft, place in ((False, self.fore), (True, self.aft)):
            if place is None:
                found["sternpost" if aft else "stem"] = {
                    "profile": self.profile(aft=aft), "sided": 50, "moulded": 110
                }  # fmt: skip
            else:
                found["transom" if aft else "bow_transom"] = {
                    "profile": self.profile(aft=aft), "thickness": 18, "crown": 20
                }  # fmt: skip
        return found


def random_form(dice: Random, *, chines: int | None = None, keel: bool | None = None) -> ChinedForm:
    """A hull anywhere within what is built."""
    half_length = dice.uniform(1500.0, 2900.0)
    depth = half_length * dice.uniform(0.2, 0.28)
    count = chines or dice.choice((1, 1, 2, 2, 3, 4))
    v = dice.random() < 0.6 if keel is None else keel
    keel_angle = dice.uniform(6.0, 22.0) if v else None
    beam = half_length * dice.uniform(0.24, 0.36)
    first, last = dice.uniform(5.0, 25.0), dice.uniform(25.0, 62.0)
    flares = [first + (last - first) * k / max(count - 1, 1) for k in range(count)] if count > 1 else [first]
    low = beam * np.tan(np.radians(keel_angle)) * 0.5 if keel_angle else 0.0
    shares = np.array([dice.uniform(0.7, 1.3) for _ in range(count)])
    drops = (depth - low) * 0.9 * shares / shares.sum()
    # Where flares eat up the breadth, all are made less: some bottom must be left.
    inboard = float((drops * np.tan(np.radians(flares))).sum())
    drops *= min(1.0, 0.65 * beam / inboard)
    pram, transom = dice.random() < 0.3, dice.random() < 0.7
    return ChinedForm(
        half_length=half_length,
        beam=beam,
        depth=depth,
        spring=half_length * dice.uniform(0.03, 0.09),
        drops=tuple(drops.tolist()),
        flares=tuple(flares),
        spread=dice.uniform(-0.25, 0.1),
        keel=keel_angle,
        half=dice.choice((0.0, 0.0, 12.0)),
        fore=dice.uniform(-0.72, -0.55) if pram else None,
        aft=dice.uniform(0.45, 0.7) if transom or pram else None,
        rakes=(dice.uniform(15.0, 40.0), dice.uniform(0.0, 22.0)),
    )


def boat_toml(dice: Random, form: ChinedForm, *, lapped: bool = False, stations: int = 8) -> Toml:
    """boat.toml with joints, frames and wood at random."""
    count = len(form.drops) + 1
    thick = [dice.choice((4, 6, 6.2, 9, 12)) for _ in range(count)]
    planking: Toml = {"side": {"thickness": thick[0]}}
    for number in range(1, count - 1):
        planking[f"strake_{number + 1}"] = {"thickness": thick[number]}
        if not lapped:
            planking[f"strake_{number + 1}"]["chine_joint"] = dice.choice((*JOINTS, "half angle", "half angle"))
    bottom: Toml = {"thickness": thick[-1]}
    if form.keel is None:
        bottom["laps"] = dice.choice(("over the sides", "between the sides"))
    else:
        bottom["chine_joint"] = dice.choice((*JOINTS, "half angle"))
        bottom["keel_joint"] = dice.choice(("on the keel", "in a rabbet")) if form.half else "half angle"
    planking["bottom"] = bottom
    places = [str(k) for k in range(3, stations)]
    frames: Toml = {
        "stations": places[:: dice.choice((1, 2))],
        "kind": dice.choice(("sawn", "sheet", "mould")),
        "sided": 18, "side_moulded": dice.choice((40, 50, 60)), "floor_moulded": dice.choice((50, 60, 80)),
        "station_face": dice.choice(("toward midship", "end-ward", "fore", "aft")),
    }  # fmt: skip
    data: Toml = {
        "boat": {
            "name": "Boat", "units": "mm", "offsets": "offsets.csv", "fair_within": dice.choice((0.5, 1, 2)),
            "lines_to": "inside of planking" if lapped else dice.choice(("outside of planking", "inside of planking")),
            "show": "mm",
        },
        **form.ends_toml(), "planking": planking, "frames": frames,
    }  # fmt: skip
    if lapped:
        data["laps"] = {"width": dice.choice((15, 18, 20)), "gain": dice.choice((0, 150, 300)), "least": 1}
    if frames["kind"] != "mould" and dice.random() < 0.5:
        data["chine_log"] = {"sided": dice.choice((18, 22)), "moulded": dice.choice((30, 40))}
    if dice.random() < 0.5:
        data["inwale"] = {"sided": 15, "moulded": 35}
    if dice.random() < 0.4:
        data["outwale"] = {"sided": 18, "moulded": 30}
    if form.keel is None and dice.random() < 0.4:
        data["keel_batten"] = {"sided": 80, "moulded": 15}
    return data


def boat_folder(folder: Path, form: ChinedForm, data: Toml, *, stations: int = 8, rounding: float = 0.1) -> Path:
    """The folder, with the boat's two files in it."""
    (folder / "boat.toml").write_text(toml_text(data), encoding="utf-8")
    with (folder / "offsets.csv").open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows(form.rows(stations, rounding))
    return folder


@dataclass(frozen=True, eq=False)
class FormLine:
    """A line of a form known everywhere; stands in for a faired one."""

    form: ChinedForm
    number: int

    @property
    def name(self) -> str:
        return self.form.names[self.number]

    @cached_property
    def first(self) -> float:
        return self.form.end(self.number, aft=False)

    @cached_property
    def last(self) -> float:
        return self.form.end(self.number, aft=True)

    @property
    def curve(self) -> FormLine:
        return self

    breadth = half_breadth = curve

    @property
    def faired(self) -> Floats:
        return self.value(np.linspace(self.first, self.last, 101))

    def value(self, x: Floats) -> Floats:
        return self.form.at(self.number, x)[0]

    def point(self, x: Floats) -> Floats:
        y, z = self.form.at(self.number, x)
        return np.stack([np.asarray(x, dtype=float), y, z], axis=-1)

    def tangent(self, x: Floats) -> Floats:
        x = np.asarray(x, dtype=float)
        return np.asarray((self.point(x + 0.5) - self.point(x - 0.5)) / 1.0)


def planked(form: ChinedForm, thickness: tuple[float, ...] = (), *, sided: float = 110.0) -> Hull:
    """The form planked on its own lines, half angles all round; the chine of a flat bottom is lapped over."""
    count = len(form.drops) + 1
    planking = tuple(Planking(thick, "plywood") for thick in thickness or (6.0,) * count)
    joints = [Joint.HALF_ANGLE] * (count - 1)
    if form.keel is None:
        joints[-1] = Joint.LOWER_OVER
    skin = Skin(LinesTo.OUTSIDE, planking, tuple(joints), None if form.keel is None else KeelJoint.HALF_ANGLE)
    ends = [
        Stem(np.array(form.profile(aft=aft)), sided, 80.0)
        if (form.aft if aft else form.fore) is None
        else Transom(np.array(form.profile(aft=aft)), 18.0, 0.0, "plywood")
        for aft in (False, True)
    ]
    lines = tuple(FormLine(form, number) for number in range(len(form.names)))
    return plank(lines, skin=skin, fore=ends[0], aft=ends[1])  # type: ignore[arg-type]
