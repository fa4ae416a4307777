"""What the job book says of the work: its order, how each pattern is used, and what can hurt. No figures of a boat."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType

from patterns.drawing.marks import Drawing
from patterns.hull.build import Closing, Joint, KeelJoint, Stem, Transom, closing_of, end_word
from patterns.parts.asked.end_rules import PlankEnds, StemWork
from patterns.parts.asked.rules import Boat, FrameKind, Way
from patterns.parts.hazards import BENDING, EPOXY, LIFTING, RIPPING
from patterns.parts.part import Part
from patterns.parts.role import EdgeKind, Role
from patterns.plates.boat_model import Stage
from patterns.plates.taping_picture import taping_picture
from patterns.shop.layout.bevel_boards import landed_on_face
from patterns.units.lengths import write_length
from patterns.writing.report.report_blocks import Step

CAUTION = (
    "Shapes only, not strength, stability or capacity: follow local codes and a licensed professional. Check every "
    "page by its check bars. Hold one part up in the boat before you cut the rest."
)

STRAIGHT, MARKED = 3.175, 1.5875  # mm (1/8 and 1/16 in): how true a strongback is built, common practice

CAUTIONS = (
    "This program gives shapes. It says nothing of strength, stability, load, flotation or weather: buoyancy, "
    "capacity, engine size and rails are for the law and a designer. Some places require a plate, a number or papers "
    "for a home-built boat, above all when it is sold: ask locally.",
    "Before you cut stock: check bars, a card model, two diagonals, one part held up in the boat; then the rest.",
    RIPPING,
    BENDING,
    "Dust: collect it and wear a fitted respirator. Wood dust harms lungs, some woods more; obey local limits.",
    f"{EPOXY} Half-cured dust sensitizes. Label each lot. Keep solvents, stoves and sparks apart.",
    "Guard hearing and eyes.",
    LIFTING,
)

_IN_A_CORNER = "Measure the corner in the boat first and hold it against the pattern; then cut and fit."
_PIECE_OF_A_FRAME = (
    "Saw it to the line and lay it on the drawing of the whole frame: that settles where the pieces meet."
)
_LONG = "and spring it in. Cut the ends a little long and fit them by the angles said."
_USES = {
    Role.MOULD: "Lay the pattern on a board, prick it through, build over it. A mould is temporary: its edges stay "
    "square.",
    Role.FRAME: "Lay the pattern on a board, prick it through, fasten the frame together over it, marked face up. "
    "Bevel it roughly outside the line. Finish the bevel in the boat, with a batten over the frames beside it.",
    Role.FRAMING: "Lay the pattern on a board, prick it through, fasten the framing together over it, marked face up.",
    Role.TRANSOM: "Draw both outlines, one on each face, and bevel between them: the heavy line on the marked face, "
    "the dashed one on the other.",
    Role.STEM: "Prick the pattern onto the timber, saw it square, mark the bearding line on both sides, carried on to "
    "the top, then bevel from it as the pattern says. Square off the height marks to set the gauge at each.",
    Role.KEEL: "Lay the pattern on the timber, prick it through, saw it square, and cut the rabbet between its lines.",
    Role.FALSE_STEM: "Saw it to the line, offer it up over the trimmed ends of the planking, fasten it and taper it to "
    "them.",
    Role.SKEG: "Saw to the line, fit its upper edge to the bottom, and scribe it there where they do not meet.",
    Role.THWART: "Cut the ends a little long, fit them dry to the planking, then fasten.",
    Role.SIDE_TIMBER: _PIECE_OF_A_FRAME,
    Role.FLOOR_TIMBER: _PIECE_OF_A_FRAME,
    Role.GUSSET: _PIECE_OF_A_FRAME,
    Role.MOULD_PIECE: "Saw it to the line and lay it on the drawing of the whole mould: that settles where the pieces "
    "meet.",
    Role.CLEAT: "Saw it to the line and fasten it over the joint. A mould is temporary: no glue is needed.",
    Role.KNEE: _IN_A_CORNER,
    Role.BREASTHOOK: _IN_A_CORNER,
}
_RABBETED = (
    "Prick the pattern onto the timber and saw it square. Square off the height marks: each landing angle is measured "
    "at its mark."
)
_SIDE = (
    "Prick the pattern or lay out by the table, join the marks with a batten. Cut a port and a starboard one, outside "
    "the line; hang it, trim it at both ends, plane the lower edge last."
)
_BETWEEN_OTHERS = (
    "Prick the pattern or lay out by the table, join the marks with a batten. Cut a port and a starboard one, outside "
    "the line, and plane to it when it hangs."
)
_BOTTOM = {
    Joint.LOWER_OVER: "Lay out by the pattern or the table, or mark from the hull; keep the overhang until it is "
    "fastened, then plane it to the sides.",
    Joint.UPPER_OVER: "Lay out by the pattern or the table; it is let in between the sides, so saw outside the line, "
    "bevel its edges and plane them until it goes down to the inside of both.",
    Joint.HALF_ANGLE: "Lay out by the pattern or the table; its edges and the sides' are both planed to the half "
    "angle, so saw outside the line and plane both by the bevels until no light shows between them.",
}


def how_to_use(part: Part, bottom: Joint | None) -> str:
    """What is done with a pattern at the bench; ``bottom``: how bottom and sides meet, None where no bottom is."""
    if part.role in (Role.PANEL, Role.PANEL_PIECE):
        return _panel_use(part, bottom)
    hands = "" if part.hand == "none" else ", one of each hand,"
    if part.role is Role.STEM and part.landings and not landed_on_face(part):
        return _RABBETED
    return _USES.get(part.role, f"Saw it to the line as it lies here{hands} {_LONG}")


def _panel_use(panel: Part, bottom: Joint | None) -> str:
    if panel.hand == "none" and bottom is not None:
        return _BOTTOM[bottom]
    neighbours = [edge for edge in panel.edges if edge.kind in (EdgeKind.CHINE, EdgeKind.LAPPING)]
    return _SIDE if len(neighbours) < 2 else _BETWEEN_OTHERS


Pictures = Mapping[Stage, Drawing]


def order_of_work(boat: Boat, pictures: Pictures = MappingProxyType({})) -> tuple[Step, ...]:
    """The usual order, as far as this boat has the parts; where the plan has another, the plan wins."""
    return tuple(_steps(boat, pictures))


def _steps(boat: Boat, pictures: Pictures) -> Iterator[Step]:
    yield Step(
        "Look at the warnings and at what was assumed; change boat.toml or the table and run again.",
        "nothing is listed there that you have not looked up on the plan.",
    )
    yield Step(
        "Measure the stock you have, thickness above all.",
        "each thickness is what boat.toml says, at several places of the sheet or board.",
    )
    yield Step(
        "Print the pages at 100 % and tape them together, or lay out by running measures.",
        "both check bars by a steel rule on a page, then a diagonal figured on the key plan.",
        taping_picture(),
    )
    yield from _backbone(boat, pictures)
    yield from _setting_up(boat, pictures)
    yield from _pictured(_long_pieces(boat), pictures.get(Stage.LONG))
    yield from _pictured(_planking(boat), pictures.get(Stage.PLANKED))
    yield from _false_stems(boat)
    yield from _finish(boat)


def _pictured(steps: Iterable[Step], picture: Drawing | None) -> Iterator[Step]:
    """Steps, the last with a picture; a boat may have none of them."""
    several = tuple(steps)
    yield from several[:-1]
    yield from (replace(last, picture=picture) for last in several[-1:])


def _planking(boat: Boat) -> Iterator[Step]:
    """Its panels: sides, then the bottom; but lapped strakes from the lowest up. Of a round hull, its planks."""
    if boat.skin.smooth:
        yield from _round_planking(boat)
        return
    lapped = Joint.LAPPED in boat.skin.joints
    several = len(boat.skin.planking) > 2
    if lapped:
        yield Step(
            "Hang the strakes in pairs from the lowest up: mark the lap line on the outside of the one that hangs, "
            "plane its upper edge by the bevels figured at the frames, offer up the next to the lap line, mark it "
            "there.",
            "a straightedge across the planed edge and the mould's next corner touches both all along the lap.",
        )
        yield from _bottom_up(boat)
        yield _bottom(boat)
        return
    which = "side panels and then the strakes below them" if several else "side panels"
    yield Step(
        f"Lay out the {which}, port and starboard, join lengths, cut outside the line and hang them.",
        "one panel offered up dry: its frame marks meet the frames, its chine runs fair.",
    )
    yield from _bottom_up(boat)
    yield _bottom(boat)


def _round_planking(boat: Boat) -> Iterator[Step]:
    """Nothing of it is drawn but what it is laid over: how planks run is for the plan and the builder's eye."""
    over = [layer.name for layer in boat.skin.layers if layer.on_moulds]
    if over:
        yield Step(
            f"Fasten the {' and the '.join(over)} over the moulds, port and starboard in turn.",
            "each lies on every mould without being pressed, and runs fair by eye from both ends.",
        )
    skins = [layer.name for layer in boat.skin.layers if not layer.on_moulds]
    laid = f" Lay the layers in their order: {', then '.join(skins)}." if skins else ""
    turns = f"port and starboard in turn, so that the boat is not pulled off its center line.{laid}"
    planks = boat.skin.planks
    if planks and planks.strip:
        yield Step(
            f"Lay the strips from the first to the last, {turns}",
            "each strip lies on every mould and close along the last; no strip is bent edgewise by force.",
        )
        return
    if planks and not planks.ribbands:
        yield Step(
            "Spring a batten through the marks of each plank line and look along it from both ends. Move a mark where "
            "it does not run fair, the same on both sides.",
            "every line runs fair by eye; no plank widens and narrows again.",
        )
        lined = "Spile each plank between its marks"
    else:
        lined = "Line off the planks or strips on the moulds as your plan has them"
    yield Step(
        f"{lined}. Hang them {turns}",
        "each plank lies on every mould; the center line is where it was; no plank is bent edgewise by force.",
    )


def _bottom_up(boat: Boat) -> Iterator[Step]:
    """No bottom is fitted from beneath: a boat set up right side up is turned for it."""
    if boat.building and boat.building.way is Way.UPSIDE_DOWN:
        return
    held = "braces and cross spalls" if _spalled(boat) else "braces"
    yield Step(
        f"{'Turn the boat' if boat.building else 'If the boat stands right side up, turn it'} bottom up, with help. "
        f"Leave the {held} in it.",
        "the breadth at every frame has not changed; two straight sticks laid across, sighted, show no twist.",
    )


def _bottom(boat: Boat) -> Step:
    bottom = boat.skin.joints[-1]
    if closing_of(boat.offsets.lines) is Closing.KEEL:
        meet = {
            KeelJoint.ON_KEEL: "against the sides of the keel",
            KeelJoint.RABBET: "into the rabbet of keel and stem",
        }.get(boat.skin.keel or KeelJoint.HALF_ANGLE, "to each other along the center line")
        return Step(
            "Fit the bottom panels, port and starboard: plane chine and keel edges by the bevels figured, "
            f"{meet}, hang one, then fit the other to it.",
            "no gap along chine and keel takes a slip of paper; the keel line, sighted from either end, is straight.",
        )
    if bottom is Joint.HALF_ANGLE:
        return Step(
            "Plane the bottom's edges and the sides' lower edges to the half angle and fit the bottom.",
            "no gap along the chines takes a slip of paper; the corner is as sharp inside as outside.",
        )
    if bottom is Joint.LOWER_OVER:
        return Step(
            "Plane the lower edges for the bottom and fit the bottom; trim the overhang when it is fastened.",
            "a straightedge across both sides touches all along; no gap takes a slip of paper.",
        )
    return Step(
        "Bevel the bottom's edges and let it in between the sides; plane the sides' lower edges down to it when it is "
        "fastened.",
        "no gap along the chines takes a slip of paper; a straightedge laid across lies on bottom and both edges.",
    )


def _false_stems(boat: Boat) -> Iterator[Step]:
    ends = ((boat.fore, boat.fore_work, "stem"), (boat.aft, boat.aft_work, "sternpost"))
    stems = [
        (work if isinstance(work, StemWork) else StemWork(), name) for end, work, name in ends if isinstance(end, Stem)
    ]
    if boat.skin.smooth:
        stems = [(work, name) for work, name in stems if work.ends is not PlankEnds.RABBET]
    if boat.skin.keel is KeelJoint.HALF_ANGLE and stems:
        where = " and the ".join(name for _, name in stems)
        yield Step(
            f"At the {where}, plane the plank ends of one side back to the center line, then fit those of the other "
            "side to them.",
            "no gap between the two sides takes a slip of paper.",
        )
        return
    if boat.skin.keel is KeelJoint.RABBET:
        return
    covered = [(work, name) for work, name in stems if work.ends is PlankEnds.FALSE_STEM]
    false = [f"false {name}" for work, name in covered if work.false_moulded]
    # A V bottom's planks leave room for a false stem only where one is asked for.
    bare = [name for work, name in covered if not work.false_moulded and boat.skin.keel is None]
    if false:
        yield Step(
            f"Trim the planking flush with the face it ends on, fit the {' and '.join(false)} over it, taper to suit.",
            "no end of the planking is left bare.",
        )
    if bare:
        yield Step(
            f"Trim the planking flush with the face of the {' and the '.join(bare)}. Cover its ends as your plan says.",
            "no end of the planking is left bare.",
        )


def _spalled(boat: Boat) -> bool:
    return boat.building is not None and boat.building.spall is not None


def _kinds(boat: Boat) -> set[FrameKind]:
    """The kinds of frame the boat has."""
    return {boat.frames.at(place).kind for place in boat.frames.places} if boat.frames else set()


def _ends(boat: Boat) -> str:
    fore = "bow transom" if isinstance(boat.fore, Transom) else "stem"
    return f"{fore} and {'transom' if isinstance(boat.aft, Transom) else 'sternpost'}"


def _backbone(boat: Boat, pictures: Pictures) -> Iterator[Step]:
    yield (
        _round_backbone(boat)
        if boat.skin.smooth
        else Step(
            f"Cut {_ends(boat)} and bevel them.",
            "both faces' outlines measured over their corners; bevels by the gauge at each mark.",
        )
    )
    if boat.frames is None:
        return
    kind = "moulds" if boat.frames.kind is FrameKind.MOULD else "frames"
    spalls = ", cross spalls and all" if _spalled(boat) else ""
    yield Step(
        f"Cut the {kind} and put each together over its drawing{spalls}.",
        f"width at sheer{'' if boat.skin.smooth else ' and chine'}, and both diagonals, port against starboard; center "
        "line and level line marked.",
        pictures.get(Stage.FRAME),
    )


def _round_backbone(boat: Boat) -> Step:
    """Stem, keel and transom: rabbets are cut, whatever else is bevelled."""
    ends = [(end_word(end, aft=aft), work) for end, work, aft in (
        (boat.fore, boat.fore_work, False), (boat.aft, boat.aft_work, True)
    )]  # fmt: skip
    grooved = [name for name, work in ends if isinstance(work, StemWork) and work.ends is PlankEnds.RABBET]
    bevelled = [name for name, _ in ends if name not in grooved]
    keel = ["keel"] if boat.keel else []
    deeds = [f"Cut {' and '.join([*(name for name, _ in ends), *keel])}."]
    if grooved or keel:
        deeds.append(
            f"Cut the rabbet of {' and '.join([*grooved, *keel])} a little shallow: it is finished in the boat, to a "
            "piece of the planking."
        )
    if bevelled:
        deeds.append(f"Bevel {' and '.join(bevelled)}.")
    return Step(" ".join(deeds), "outlines measured over their corners; angles as the patterns say.")


def _setting_up(boat: Boat, pictures: Pictures) -> Iterator[Step]:
    way = boat.building.way.value if boat.building else "the way up the plan says"
    within, close = (write_length(mm, boat.show) for mm in (STRAIGHT, MARKED))
    yield Step(
        "Build the strongback, stretch a center-line string over it, and mark the stations running from one end.",
        f"straight and level within {within}, stations within {close}, diagonals equal within {within} (common "
        "practice, no single source).",
    )
    keel = ", then the keel" if boat.skin.smooth and boat.keel else ""
    yield Step(
        f"Set up {way}, from the widest section toward the ends, then {_ends(boat)}{keel}. Brace.",
        "each plumb, on the center line, level, at its height; marked faces on their stations.",
        pictures.get(Stage.SET_UP),
    )
    along = "sheer, waterlines and diagonals" if boat.skin.smooth else "sheer and chine"
    yield Step(
        f"Spring battens round along {along}, over everything.",
        "they touch everywhere and run fair by eye; shim or shave where they do not, and write down what you changed.",
    )


def _long_pieces(boat: Boat) -> Iterator[Step]:
    long = boat.long
    kind = "mould" if boat.frames and boat.frames.kind is FrameKind.MOULD else "frame"
    yield from _along_centre(boat, kind)
    if long.chine_logs:
        yield Step(
            f"Fit the chine logs, port and starboard in turn, dry first, {kind} by {kind}; do not force them.",
            f"each lies in its {'ways' if kind == 'mould' else 'notches'}; the boat has not been pulled off its center "
            "line.",
        )
    inside = [name for name, there in (("inwales", long.inwale), ("stringers", long.stringers)) if there]
    if inside:
        yield Step(f"Fit the {' and '.join(inside)} in the same way.", "sheer and center line are where they were.")
    if boat.frames and boat.frames.kind is not FrameKind.MOULD:
        logs = " and chine logs" if long.chine_logs else ""
        yield Step(
            f"Plane the bevels of the frames{logs} fair; keep the edge on each marked face.",
            "a straightedge athwart and a batten along touch all the wood.",
        )


def _along_centre(boat: Boat, kind: str) -> Iterator[Step]:
    """Keelson and keel batten; of a V bottom the lowest is planed to both halves once it lies on the frames."""
    keels = [name for name, there in (("keelson", boat.long.keelson), ("keel batten", boat.long.keel_batten)) if there]
    lies = f"it lies down without force, its ends against {_ends(boat)}"
    for name in keels:
        if kind == "frame" and name == keels[-1] and closing_of(boat.offsets.lines) is Closing.KEEL:
            yield Step(
                f"Fit the {name} in the frames' notches, from amidships toward the ends. Then plane each half of its "
                "lower edge.",
                f"{lies}; a straightedge athwart, along the lower edge of each frame, touches it out to the middle.",
            )
        else:
            yield Step(f"Fit the {name} in its {'ways' if kind == 'mould' else 'notches'}.", f"{lies}.")


def _finish(boat: Boat) -> Iterator[Step]:
    long, fitted = boat.long, boat.fitted
    if long.skeg:
        yield Step("Fit the skeg.", "it stands plumb on the center line; a string from the bow lies along it.")
    legs = boat.building and boat.building.way is Way.UPSIDE_DOWN and _kinds(boat) - {FrameKind.MOULD}
    saw = " Saw the legs of the frames off at the sheer marks." if legs else ""
    yield Step(
        f"Turn the boat right side up, with help.{saw}",
        "the boat stands level; two straight sticks laid across, sighted, show no twist.",
    )
    if FrameKind.MOULD in _kinds(boat):
        yield Step(
            "Take the moulds out. Brace across the sheer instead.",
            "the breadth at the sheer has not changed.",
        )
    rails = [name for name, there in (("outwales", long.outwale), ("rub rails", long.rub_rail)) if there]
    if rails:
        yield Step(f"Fit the {' and '.join(rails)}.", "both sides run alike by eye from ahead.")
    inside = [
        name
        for name, there in (
            ("risers", long.risers),
            ("breasthook", fitted.breasthook),
            ("quarter knees", fitted.quarter_knee),
            ("thwarts", fitted.thwarts),
            ("thwart knees", fitted.thwart_knee),
        )
        if there
    ]
    if inside:
        yield Step(f"Fit {', '.join(inside)}.", "each fits dry before there is glue on it; corners measured first.")
    if _spalled(boat):
        yield Step(
            "Take the cross spalls out. Where nothing else holds the breadth, take them out last.",
            "the breadth at the sheer has not changed.",
        )
    if boat.frames and boat.frames.limber and _kinds(boat) - {FrameKind.MOULD}:
        yield Step("Clear the limbers, round the edges, finish.", "water poured in at one end runs to the other.")
    else:
        yield Step("Round the edges, finish.", "no edge cuts a hand.")
