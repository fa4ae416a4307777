"""What a part, an edge of it or a mark on it is: whatever is decided is decided by these, never by words of a name."""

from __future__ import annotations

from enum import StrEnum


class Role(StrEnum):
    """What a part is in the boat."""

    PANEL = "panel"
    PANEL_PIECE = "piece of a panel"  # of one joined of several
    BUTT_BLOCK = "butt block"
    FRAME = "frame"
    MOULD = "mould"
    SIDE_TIMBER = "side timber"
    FLOOR_TIMBER = "floor timber"
    GUSSET = "gusset"
    MOULD_PIECE = "mould piece"  # of one made of several
    CLEAT = "cleat"  # holds pieces of a mould together
    TRANSOM = "transom"
    FRAMING = "transom framing"
    STEM = "stem"
    FALSE_STEM = "false stem"
    LOG = "chine log"
    INWALE = "inwale"
    OUTWALE = "outwale"
    RUB_RAIL = "rub rail"
    STRINGER = "stringer"
    RISER = "riser"
    KEEL = "keel"  # of a round hull
    KEEL_BATTEN = "keel batten"
    KEELSON = "keelson"
    SKEG = "skeg"
    THWART = "thwart"
    KNEE = "knee"
    BREASTHOOK = "breasthook"


TIMBERS = frozenset((Role.SIDE_TIMBER, Role.FLOOR_TIMBER, Role.MOULD_PIECE))
"""What a sawn frame, the framing of a transom, or a mould of several pieces is made of."""

AT_SHEER = frozenset((Role.INWALE, Role.OUTWALE))
"""Long pieces whose top is flush with the sheer."""


class EdgeKind(StrEnum):
    """What an edge is against."""

    NET = "net"  # nothing that a cutter, a drill or a table must know of
    CHINE = "chine"  # of a panel, where another panel meets it
    LAPPING = "lapping"  # the same, where a line along the inside of that panel is marked on this one
    NOTCH = "notch"  # another piece seats in it
    LIMBER = "limber"  # water runs through it
    TIMBERS = "joint of timbers"
    SCARF = "scarf"
    BUTT = "butt"
    TOOTHED = "toothed"
    PLANKED = "planked"  # of a frame or a transom, where a strake that stands lies on it
    FLOOR = "floor"  # the same along the bottom, where limbers are cut


class MarkKind(StrEnum):
    """What a mark is for, where that is asked."""

    LINE = "line"
    FRAME = "frame"  # the face of a frame or mould that stands on its station
    LAPPED = "lapped"  # on a panel, the line along the inside of the panel it laps over
    LANDING = "landing"  # on a stem's face, the height at which a line of the boat lands
    SCARF = "scarf"  # where the taper of a scarf begins
    SPALL = "spall"  # the lower edge of the cross spall
    BASE = "base"  # the base line
    FASTENINGS = "fastenings"  # where none may go
    FASTENED = "fastened"  # along which fastenings go
    PLANED = "planed"  # on wood seen in profile, from where both its sides are planed off toward its first edge
    JOINT = "joint"  # where the timbers of a sawn frame meet
