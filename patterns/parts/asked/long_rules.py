"""What the builder asks of the long pieces, in mm and radians."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LongRules:
    """A long piece lying on the planking."""

    name: str  # "chine log", "inwale", ...
    sided: float  # mm: square to the planking; of keel batten and keelson athwart
    moulded: float  # mm: along the planking; of keel batten and keelson square to it
    material: str
    planing: float  # mm, left by the saw for the plane on each sawn edge


@dataclass(frozen=True, slots=True)
class ChineLogRules(LongRules):
    """A fixed top bevel stands, and drain is then what it must leave; asked for neither, the top is left square."""

    at: str | None = None  # the line of the one chine it is for; None for every chine without rules of its own
    drain: float | None = None  # rad, the top slopes inboard at least so much with the boat level
    top_bevel: float | None = None  # rad, one bevel all along, under


@dataclass(frozen=True, slots=True)
class StringerRules(LongRules):
    """A rub rail, or a stringer: on the side, or on the bottom."""

    below_sheer: float | None = None  # mm down the side, from the sheer to the upper edge
    from_center: float | None = None  # mm, from the centre line to the inboard edge on the bottom


@dataclass(frozen=True, slots=True)
class RiserRules(LongRules):
    """A rail on the inside of the side that thwarts rest on."""

    height: float = 0.0  # mm above base, of its upper edge: level
    start: float = 0.0  # mm from FP
    end: float = 0.0


@dataclass(frozen=True, slots=True)
class SkegRules:
    start: float  # mm from FP
    depth: float  # mm, of its heel below the bottom at the transom, upright
    sided: float  # mm, athwart
    material: str


@dataclass(frozen=True, slots=True)
class LongAsked:
    """Every long piece the builder asks for."""

    chine_logs: tuple[ChineLogRules, ...] = ()
    inwale: LongRules | None = None
    outwale: LongRules | None = None
    rub_rail: StringerRules | None = None
    keel_batten: LongRules | None = None
    keelson: LongRules | None = None
    stringers: tuple[StringerRules, ...] = ()
    risers: tuple[RiserRules, ...] = ()
    skeg: SkegRules | None = None
    through_fore: bool = False  # whether pieces inside the planking come out through a bow transom
    through_aft: bool = False

    def log_at(self, line: str) -> ChineLogRules | None:
        """What is asked of the log in one chine: its own rules, or else those for all the others."""
        asked = {log.at: log for log in self.chine_logs}
        return asked.get(line, asked.get(None))
