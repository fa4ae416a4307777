"""Claims about the book's table of the planking."""

from __future__ import annotations

from patterns.hull.build import Joint, KeelJoint, Lap, LinesTo, Planking, Skin
from patterns.writing.book.planking_rows import planking_rows

PLY = Planking(6.2, "okoume")


def rows(*joints: Joint, keel: KeelJoint | None = None) -> list[tuple[str, str, str]]:
    lap = Lap(20, 350, 2)
    return list(planking_rows(Skin(LinesTo.INSIDE, (PLY,) * (len(joints) + 1), joints, keel, lap), "mm"))


def test_every_strake_stands_in_the_book_with_its_thickness() -> None:
    assert rows(Joint.LAPPED, Joint.LOWER_OVER)[:3] == [
        ("side", "6.2 mm", "okoume"),
        ("strake 2", "6.2 mm", "okoume"),
        ("bottom", "6.2 mm", "okoume"),
    ]


def test_the_book_says_how_each_two_strakes_meet_and_which_lies_over_which() -> None:
    told = rows(Joint.LAPPED, Joint.HALF_ANGLE, Joint.UPPER_OVER, Joint.LOWER_OVER)[5:]
    assert told == [
        ("strake 2 to side", "", "the side laps strake 2 by 20.0 mm"),
        ("strake 3 to strake 2", "", "both edges planed to half the angle"),
        ("strake 4 to strake 3", "", "strake 3 lies over the edge of strake 4"),
        ("bottom to strake 4", "", "the bottom lies over the edge of strake 4"),
    ]


def test_the_book_says_how_a_v_bottom_ends_along_the_keel() -> None:
    ends = {joint: rows(Joint.HALF_ANGLE, keel=joint)[-1] for joint in KeelJoint}
    assert ends[KeelJoint.RABBET] == ("along the keel", "", "in a rabbet")
    assert ends[KeelJoint.ON_KEEL] == ("along the keel", "", "on the faces of the keel")
    assert ends[KeelJoint.HALF_ANGLE][2].startswith("port and starboard meet on the center line")
    assert rows(Joint.LOWER_OVER)[-1][0] == "bottom to side"
