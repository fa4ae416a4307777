"""A part made ready to cut: its faces' lines chosen, fitted with arcs, relieved, scored, drilled, lettered, proved."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from math import hypot

import numpy as np
import shapely

from patterns.drawing.engraving import in_file_name, in_plain_letters, is_plain
from patterns.errors import ShapeError
from patterns.geometry.arc_lines import LEAST_RISE, ArcLine, machined, ring
from patterns.geometry.arrays import Floats, lengths
from patterns.geometry.biarcs import FIT_WITHIN, apart, fit_arcs
from patterns.geometry.outlines import line_strings
from patterns.parts.cautions import Caution
from patterns.parts.materials import material_words
from patterns.parts.part import Part
from patterns.parts.role import Role
from patterns.shop.router.clean_runs import clean_runs
from patterns.shop.router.contours import Contours, CutShort, Drilled, Lettering, Scored
from patterns.shop.router.cut_lines import cut_short
from patterns.shop.router.cutter import Unreachable, inside_corners, relieved, unreachable
from patterns.shop.router.index_holes import NO_HOLES, IndexHoles, index_holes
from patterns.shop.router.pilots import PLANKING, pilot_holes
from patterns.shop.router.proof import prove, prove_pinned, proved_fit
from patterns.shop.router.router_lettering import (
    Room,
    bevels_engraved,
    engraved_lines,
    ticks,
    title_engraved,
    title_lines,
)
from patterns.shop.router.router_rules import CutTo, RouterLayer, RouterRules, Words
from patterns.shop.router.tabs import tab_lines, tabs_on_mating
from patterns.units.lengths import write_length, write_size

_COUNT = re.compile(r"\d+off$")  # as `router_file_name` ends
FITTED = FIT_WITHIN - LEAST_RISE  # mm; flat and wide arcs may leave the rest of the limit when they are made straight
SAME_PLACE = 1e-6  # mm; nearer points are one
INSIDE_CUT = 0.25  # mm that scored lines keep from the cut: one that runs along it would be cut twice
SAME_SCORE = 0.1  # mm; lines that run nearer each other come out as one
SHORTEST_SCORE = 1.0  # mm; a shorter scrap of a line tells nobody anything
LONGEST_FILE_NAME = 240  # bytes; disks take 255, the ending among them
LONGEST_WORD = 60  # letters of the boat's name, and of a material's, that a file's name takes
NO_CUTTER = (
    "a round cutter cannot reach into their inside corners. If a router cuts them, write its diameter as cutter under "
    "[router] in boat.toml"
)
NO_INDEX = (
    "index holes are asked for, but no part of this boat lies on another that they could align: no gusset on a timber, "
    "no butt block and no joint in a panel"
)
HOLES_APART = 10.0  # mm from an index hole's rim to the middle of a pilot hole; nearer, the wood between may split
SHARP = 0.1  # rad; corners that turn less a cutter goes round well enough


def contours_of(
    part: Part,
    rules: RouterRules,
    *,
    boat: str,
    show: str,
    number: int = 1,
    index: IndexHoles = NO_HOLES,
    fastenings: Floats | None = None,
) -> Contours:
    """A part ready to cut, its lowest x and y at 0.

    Parameters
    ----------
    number : int
        What is engraved for a name that has letters no single strokes are known for.
    index : IndexHoles
        Those of the whole boat.
    fastenings : (n, 2) mm, optional
        Where the boat's seams have theirs on a panel, which its pilot holes are bored for (`pilot_holes`).

    Raises
    ------
    ShapeError
        An outline that crosses itself or encloses nothing.
    NotFitToCutError
        Contours that came out wrong: a bug.
    """
    runs = clean_runs(part, rules)
    fitted = (proved_fit(fit_arcs(run, within=FITTED), run, part.title) for run in runs)
    lines = [ring(list(fitted)), *map(_fitted_loop, part.holes)]
    outer, *inner = (machined(_for_cutter(line, rules)) for line in lines)
    bare = Contours(
        title=part.title,
        name=part.name,
        hand=part.hand,
        file_name=router_file_name(part, boat),
        thickness=part.thickness,
        material=part.material,
        face=part.marked_face,
        count=part.count,
        short=cut_short(part, rules, show),
        outer=outer,
        inner=tuple(inner),
    )
    bare = bare.told(
        scored=tuple(_scored(part, bare, rules)), drilled=tuple(_bored(part, bare, rules, index, fastenings))
    )
    meeting = tabs_on_mating(part, [score.line for score in bare.scored if score.layer == "tab"])
    words = engraved_lines(part, rules, number)
    whole = replace(bare, lettering=_lettering(part, bare, rules, words, show)).at_origin()
    told = zip(title_lines(part, rules), words, strict=True)
    unwritten = [
        f"the router cannot engrave '{line}', which has letters without single strokes: it engraves '{instead}'"
        for line, instead in told
        if rules.words is not Words.NONE and not is_plain(line)
    ]
    return prove(
        whole.told(
            cautions=(
                *unwritten,
                *_tabs_to_trim(meeting, rules),
                *_cautions(whole, rules, show),
                *(_missing_pilots(whole, rules, part.role) if fastenings is None or len(fastenings) else ()),
                *_without_index(part, index),
            )
        )
    )


def ready_to_cut(
    parts: Sequence[Part],
    rules: RouterRules,
    *,
    boat: str,
    show: str,
    numbers: Mapping[str, int] | None = None,
    fastenings: Mapping[str, Floats] | None = None,
    through: Callable[[Callable[[Part], Contours], Sequence[Part]], Iterable[Contours]] = map,
) -> tuple[Contours, ...]:
    """Every part, each under a name of its own; ``through`` says how the work is gone through.

    Parameters
    ----------
    numbers : mapping, optional
        A number for each part's title, for names that cannot be engraved; else parts are numbered as they come.
    fastenings : mapping, optional
        (n, 2) mm for the title of each panel and piece of one: where the boat's seams have their fastenings.

    Raises
    ------
    ShapeError
        As for one part; or two parts whose names differ only in signs a file's name cannot carry.
    """
    known = numbers or {part.title: number for number, part in enumerate(parts, start=1)}
    index = index_holes(parts, rules)
    made = tuple(
        through(
            lambda part: contours_of(
                part,
                rules,
                boat=boat,
                show=show,
                number=known[part.title],
                index=index,
                fastenings=None if fastenings is None else fastenings.get(part.title, np.zeros((0, 2))),
            ),
            parts,
        )
    )
    prove_pinned(made, index)
    first: dict[str, Contours] = {}
    for one in made:
        other = first.setdefault(one.file_name, one)
        if other is not one:
            raise ShapeError(f"'{other.title}' and '{one.title}' would have the same file, {one.file_name}.dxf")
    return made


def wholes_apart(made: Sequence[Contours], to_cut: Sequence[Part]) -> tuple[Contours, ...]:
    """Wholes that are cut in pieces under names, in a folder of their own, that no shop cuts them by as well."""
    cut = {part.title for part in to_cut}
    return tuple(
        one if one.title in cut else replace(one, file_name=f"whole/{_COUNT.sub('cut-in-pieces', one.file_name)}")
        for one in made
    )


def cautions_of(made: Sequence[Contours]) -> tuple[Caution, ...]:
    """What a cutter cannot do, said once for all parts it is true of."""
    texts = dict.fromkeys(text for one in made for text in one.cautions)
    return (
        *_short_told([one.short for one in made if one.short]),
        *(Caution(_where(list(_names(made, text)), text), text) for text in texts),
    )


def _short_told(short: Sequence[CutShort]) -> Iterator[Caution]:
    """One warning for the whole job that the cut takes wood the bevels need, with the worst place."""
    if short:
        worst = max(short, key=lambda one: one.by)
        parts = "1 part" if len(short) == 1 else f"{len(short)} parts"
        yield Caution("router", f'{worst.told}, the most of {parts} cut short. Use cut = "{CutTo.LARGER}"')


def _where(names: Sequence[str], text: str) -> str:
    """The parts a caution holds for; without a cutter that is most of the boat, and one for all says it."""
    if text == NO_INDEX:
        return "router"
    if text == NO_CUTTER and len(names) > 1:
        return f"router, {len(names)} patterns, such as {names[0]}"
    return f"router, {', '.join(names)}"


def _names(made: Sequence[Contours], text: str) -> Iterator[str]:
    """The parts a caution holds for, those of both hands by one name."""
    told = {one.title: one for one in made if text in one.cautions}
    hands = {(one.name, one.hand) for one in told.values()}
    for title, one in told.items():
        if {(one.name, "port"), (one.name, "starboard")} <= hands:
            if one.hand == "port":
                yield one.name
        else:
            yield title


def _for_cutter(line: ArcLine, rules: RouterRules) -> ArcLine:
    return relieved(line, cutter=rules.cutter, relief=rules.relief) if rules.cutter else line


def _cautions(part: Contours, rules: RouterRules, show: str) -> Iterator[str]:
    yield from _missing_tabs(part, rules)
    contours = (part.outer, *part.inner)
    sharp = any(bool((inside_corners(line) > SHARP).any()) for line in contours)
    if rules.cutter is None:
        if sharp:
            yield NO_CUTTER
        return
    places = list(unreachable(part.wood, contours, cutter=rules.cutter))
    if places:
        yield _told(places, rules.cutter, show)


def _without_index(part: Part, index: IndexHoles) -> Iterator[str]:
    """Parts that are joined to this one with no room for index holes in both."""
    if index.asked and not index.pinned and not index.without:
        yield NO_INDEX
    for kind in dict.fromkeys(role for title, role in index.without if title == part.title):
        yield (
            f"no room for two index holes where it joins the {kind}, clear of edges and screws. Align the two by their "
            f"lines, or make index smaller"
        )


def _missing_tabs(part: Contours, rules: RouterRules) -> Iterator[str]:
    """Tabs asked for that have no place clear of corners, joints and notches."""
    count = sum(score.layer == "tab" for score in part.scored)
    if count < rules.tabs:
        yield (
            f"only {count} of {rules.tabs} tabs have a place clear of corners, joints and notches. Hold the part in "
            f"the sheet with screws, or make tab_length shorter"
        )


def _missing_pilots(part: Contours, rules: RouterRules, role: Role) -> Iterator[str]:
    """Planking that pilot holes are asked for and that has room for none."""
    if rules.pilot and role in PLANKING and all(hole.index for hole in part.drilled):
        yield "no pilot hole has room so far from the planed edges. Make pilot_edge smaller"


def _tabs_to_trim(meeting: int, rules: RouterRules) -> Iterator[str]:
    if meeting:
        yield (
            f"{meeting} of {rules.tabs} tabs stand on edges that meet another panel, because the other edges have no "
            f"room for all. Trim their stumps flush before you fit the panel"
        )


def _told(places: Sequence[Unreachable], cutter: float, show: str) -> str:
    """All of a part in one sentence: a cutter too large leaves wood in every notch of every frame."""
    place = max(places, key=lambda one: one.left)
    x, y = (write_length(value, show) for value in place.at)
    if place.radius is None:
        what = "a gap is too narrow"
    elif place.radius == 0:
        what = "an inside corner is sharp"
    else:
        what = f"an inside radius is only {write_length(place.radius, show)}"
    where = f"{what} for the {write_size(cutter, show)} cutter at {x}, {y} from the file's corner: wood stays"
    return where if len(places) == 1 else f"{where} there, the most of {len(places)} such places"


def router_file_name(part: Part, boat: str) -> str:
    """Boat, part, hand, material, thickness and count, as a name any disk takes, however long the builder's own are."""
    title, size = in_plain_letters(part.title), f"{round(part.thickness, 1):g}mm {part.count}off"
    room = (LONGEST_FILE_NAME - len(f"{title}{size}".encode())) // 2
    boat, material = (_begun(name, room) for name in (boat, material_words(part.material)))
    return in_file_name(f"{boat} {title} {material} {size}")


def _begun(name: str, room: int) -> str:
    """As much of a name as a file's name takes, which counts in bytes: letters of other alphabets take two or three."""
    return in_plain_letters(name)[:LONGEST_WORD].encode()[: max(room, 0)].decode(errors="ignore")


def _fitted_loop(hole: Floats) -> ArcLine:
    """A hole's contour with the wood on its left, as it is on an outline's."""
    loop = hole[lengths(hole - np.roll(hole, 1, axis=0)) > SAME_PLACE]
    if shapely.LinearRing(loop).is_ccw:
        loop = loop[::-1]
    line = fit_arcs(loop, closed=True, within=FITTED)
    begun = np.roll(loop, -int(lengths(loop - line.points[0]).argmin()), axis=0)
    once_round = ArcLine(
        np.concatenate([line.points, line.points[:1]]), np.concatenate([line.bulges, [0.0]]), closed=False
    )
    proved_fit(once_round, np.concatenate([begun, begun[:1]]), "hole")
    return line


def _scored(part: Part, bare: Contours, rules: RouterRules) -> Iterator[Scored]:
    # Shrunk a little, so that lines that run along the cut, or past it into the next part, fall away.
    within = bare.wood.buffer(-INSIDE_CUT)
    shapely.prepare(within)
    marks = (*(mark.points for mark in part.marks), *ticks(part))
    done = _Done()
    for piece, layer in _inside((*_other_faces(part, rules), *((points, "mark") for points in marks)), within):
        for fresh in done.without(piece):
            done.lines.append(fresh)
            yield Scored(layer, machined(fit_arcs(apart(shapely.get_coordinates(fresh)), within=FITTED)))
    yield from (Scored("tab", line) for line in tab_lines(part, bare.outer, rules))


def _bored(
    part: Part, bare: Contours, rules: RouterRules, index: IndexHoles, fastenings: Floats | None
) -> Iterator[Drilled]:
    """Index holes, then pilot holes that keep off them."""
    places = index.places.get(part.title, np.zeros((0, 2)))
    yield from (Drilled((x, y), rules.index or 0.0, index=True) for x, y in places.tolist())
    for hole in pilot_holes(part, rules, bare.wood, fastenings):
        if not len(places) or lengths(places - hole.at).min() > HOLES_APART + (rules.index or 0.0):
            yield hole


def _lettering(part: Part, bare: Contours, rules: RouterRules, title: Sequence[str], show: str) -> Lettering:
    if rules.words is Words.NONE:
        return Lettering(np.zeros((0, 2)), ())
    room = Room(bare.wood, [score.line.flat(SHORTEST_SCORE) for score in bare.scored], bare.drilled)
    bevels = list(bevels_engraved(part, room, show)) if rules.words is Words.FULL else []
    words = [*bevels, *title_engraved(title, room)]
    # A part too small for a single word carries none.
    points = np.concatenate([np.zeros((0, 2)), *(points for points, _ in words)])
    counts = tuple(count for _, counts in words for count in counts)
    return Lettering(points, counts, bevels=sum(len(counts) for _, counts in bevels))


def _other_faces(part: Part, rules: RouterRules) -> Iterator[tuple[Floats, RouterLayer]]:
    """Both faces' lines of bevelled edges: whichever is cut falls away, for it lies on the cut."""
    for edge in part.edges:
        yield edge.far, "far-face"
        if rules.cut is CutTo.LARGER:
            yield edge.points, "mark"


def _inside(
    lines: Sequence[tuple[Floats, RouterLayer]], wood: shapely.Geometry
) -> Iterator[tuple[shapely.LineString, RouterLayer]]:
    """What of lines lies in the wood, which is prepared."""
    wholes = line_strings([points for points, _ in lines])
    # Most lines along the edges lie outside altogether.
    reaching = np.flatnonzero(shapely.intersects(wood, wholes))
    pieces, which = shapely.get_parts(shapely.intersection(wholes[reaching], wood), return_index=True)
    told = (shapely.get_type_id(pieces) == shapely.GeometryType.LINESTRING) & (shapely.length(pieces) > SHORTEST_SCORE)
    for piece, number in zip(pieces[told].tolist(), reaching[which[told]].tolist(), strict=True):
        yield piece, lines[number][1]


class _Done:
    """Lines that are scored already: a knife run twice cuts twice as deep."""

    def __init__(self) -> None:
        self.lines: list[shapely.LineString] = []
        self._beside: dict[int, shapely.Polygon] = {}  # by a line's number, all that runs along it

    def without(self, whole: shapely.LineString) -> list[shapely.LineString]:
        """What of a line does not run along one of them."""
        near = [number for number in self._near(whole) if _may_run_along(whole, self.lines[number])]
        stretches = shapely.get_parts(shapely.intersection(whole, [self._along(number) for number in near]))
        along = stretches[shapely.length(stretches) > SHORTEST_SCORE]
        if not len(along):
            return [whole]
        rest = shapely.get_parts(whole.difference(shapely.union_all(along).buffer(SAME_PLACE)))
        return [piece for piece in rest.tolist() if piece.length > SHORTEST_SCORE]

    def _near(self, whole: shapely.LineString) -> list[int]:
        return np.flatnonzero(shapely.distance(self.lines, whole) < SAME_SCORE).tolist() if self.lines else []

    def _along(self, number: int) -> shapely.Polygon:
        if number not in self._beside:
            self._beside[number] = self.lines[number].buffer(SAME_SCORE, cap_style="flat")
        return self._beside[number]


def _may_run_along(line: shapely.LineString, other: shapely.LineString) -> bool:
    """Whether a straight line could run along another so far that it counts: most only touch it with an end."""
    if shapely.get_num_points(line) > 2:
        return True
    (left, bottom, right, top), (low_x, low_y, high_x, high_y) = line.bounds, other.bounds
    wide, high = min(right, high_x) - max(left, low_x), min(top, high_y) - max(bottom, low_y)
    return hypot(wide + 2 * SAME_SCORE, high + 2 * SAME_SCORE) > SHORTEST_SCORE
