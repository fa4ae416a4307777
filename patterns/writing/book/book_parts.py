"""The job book's parts: each with its picture, where it sits in the boat, a few figures, and where to find the rest."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from patterns.drawing.marks import Drawing
from patterns.hull.build import Joint
from patterns.parts.edges import as_laid
from patterns.parts.materials import material_words
from patterns.parts.part import Edge, Landing, Part
from patterns.parts.role import EdgeKind, Role
from patterns.plates.boat_model import PartGroup, called, grouped
from patterns.plates.overview import part_picture
from patterns.plates.words.length_words import edge_words, lengths_words, sentence
from patterns.shop.fit.bent_edges import BentEdges
from patterns.shop.stock.lengths import Lengths, finished_size
from patterns.units.lengths import write_length
from patterns.writing.book.book_words import how_to_use
from patterns.writing.report.report_blocks import (
    Block,
    Bullets,
    Facts,
    Figure,
    Figures,
    Link,
    Links,
    Paragraph,
    Section,
    Table,
    Thumb,
    Thumbs,
)

SEVERAL = 3  # what is said of so many parts is said once, before them


@dataclass(frozen=True, slots=True, eq=False)
class KnownOfParts:
    """What is known of all parts besides what they are themselves."""

    files: Mapping[str, Sequence[Link]]  # by the part's title, links to what is made of it
    show: str
    bottom: Joint | None  # how bottom and sides meet; None where there is no bottom
    lengths: Mapping[str, Lengths]  # by the part's title
    bent: BentEdges  # the edges of sprung parts, by the part's name
    places: Mapping[str, Drawing]  # where a part sits, by what its group is called
    left_off: Sequence[str] = ()  # which patterns have no pages, and how to have them


def parts_section(parts: Sequence[Part], known: KnownOfParts) -> Section:
    """Every part of the boat, by name; a sawn frame's timbers and gussets with their frame."""
    groups = grouped(parts)
    said = Counter(words for group in groups for words in _said(group, known))
    common = {words for words, times in said.items() if times >= SEVERAL}
    of: dict[tuple[PartGroup, ...], list[str]] = {}
    for words in said:
        if words in common:
            of.setdefault(tuple(group for group in groups if words in _said(group, known)), []).append(words)
    told = [f"{_named(some)}: {' '.join(words)}" for some, words in of.items()]
    intro = Paragraph(
        "Pictures: heavy lines are finished edges on the marked face, dashed lines are edges on the far face, thin "
        "lines are marks. The small view shows the part dark in the boat."
    )
    made = tuple(Section(sentence(group.called), tuple(_blocks(group, known, common))) for group in groups)
    off = [Paragraph(words, "note") for words in known.left_off]
    return Section("Parts", (intro, *off, *([Bullets(tuple(told))] if told else [])), made)


def parts_contents(section: Section) -> Thumbs:
    """The parts of the boat as small pictures that lead to them: where each sits, if that is known."""
    pictures = ((part, next(block for block in part.blocks if isinstance(block, Figures))) for part in section.parts)
    return Thumbs(tuple(Thumb(row.entries[-1].drawing, part.title, f"#{part.anchor}") for part, row in pictures))


def _named(groups: Sequence[PartGroup]) -> str:
    """Parts by their names, those alike but for their numbers together: "frame 1, 2, 3"."""
    alike: dict[str, list[str]] = {}
    for group in groups:
        name = group.part.name
        word, _, number = name.rpartition(" ")
        alike.setdefault(word if number.isdecimal() else name, []).append(number if number.isdecimal() else "")
    return sentence(", ".join(f"{word} {', '.join(numbers)}".strip() for word, numbers in alike.items()))


def _said(group: PartGroup, known: KnownOfParts) -> tuple[str, ...]:
    """What is done with the part, then what else the builder must know of it, a sentence or two each."""
    remarks = [remark for hand in reversed(group.hands) for remark in hand.remarks if not remark.startswith("Drawn ")]
    of_pieces = [remark for hands in group.pieces for remark in hands[-1].remarks]
    return tuple(dict.fromkeys([how_to_use(group.part, known.bottom), *remarks, *of_pieces]))


def _blocks(group: PartGroup, known: KnownOfParts, common: set[str]) -> Iterator[Block]:
    part = group.part
    pictures = [Figure(part_picture(part), _shown(part))]
    if group.called in known.places:
        pictures.append(Figure(known.places[group.called]))
    yield Figures(tuple(pictures))
    yield Facts(tuple(_facts(group, known)))
    if part.role is Role.PANEL and part.name in known.bent:  # a long piece has its lengths among its remarks
        yield from _bent_edges(part, known)
    if part.landings:
        yield _landings(part.landings, known.show)
    if own := tuple(words for words in _said(group, known) if words not in common):
        yield Bullets(own)
    if group.pieces:
        yield from _pieces(group, known)
    if links := tuple(_links(group, known.files)):
        yield Links(links)


def _shown(part: Part) -> str:
    its = "" if part.marked_face.startswith("either") else "its "
    bow = {"left": ", bow at the left", "right": ", bow at the right", "up": ", bow up", "down": ", bow down"}
    title = f"{part.hand.capitalize()}: " if part.hand != "none" else ""
    return sentence(f"{title}{its}{part.marked_face} toward you{bow.get(as_laid(part).bow, '')}.")


def _facts(group: PartGroup, known: KnownOfParts) -> Iterator[tuple[str, str]]:
    part = group.part
    yield "make", _make(group.hands)
    yield "wood", _wood(part, known.show)
    yield "size", _size(part, known)
    if not group.pieces:
        yield "grain", part.grain.removeprefix("grain ").removeprefix("face grain ")
    if part.line:
        yield "finished line", part.line
    if bevels := _bevels(part):
        yield "bevels", bevels


def _make(hands: Sequence[Part]) -> str:
    part = hands[-1]
    return str(part.count) if len(hands) == 1 else f"{part.count} port, {part.count} starboard"


def _wood(part: Part, show: str) -> str:
    # That thicknesses are those measured is a step of the work; whatever else one is, is told.
    thick = part.thickness_is.removesuffix(" as measured")
    return f"{material_words(part.material)}, {write_length(part.thickness, show)} {thick}"


def _size(part: Part, known: KnownOfParts) -> str:
    wide = write_length(finished_size(part)[1], known.show)
    return f"{lengths_words(known.lengths[part.title], known.show)}; {wide} wide"


def _bevels(part: Part) -> str:
    """Of each edge that is not square, once by name, from its least bevel to its most."""
    names = dict.fromkeys(edge.either_hand for edge in part.edges if edge.kind is not EdgeKind.NOTCH)
    told = {name: _bevel([edge for edge in part.edges if edge.either_hand == name]) for name in names}
    return "; ".join(f"{name} {words}" for name, words in told.items() if words != "square")


def _bevel(edges: Sequence[Edge]) -> str:
    bevels = [bevel for edge in edges for bevel in edge.bevels]
    if not bevels:
        return "square"
    least, most = (pick(bevels, key=lambda bevel: bevel.angle) for pick in (min, max))
    told = [
        "square" if bevel.kind == "square" else f"{abs(np.degrees(bevel.angle)):.1f}° {bevel.kind}"
        for bevel in sorted((least, most), key=lambda bevel: abs(bevel.angle))
    ]
    if told[0] == told[1]:
        return told[0]
    return f"{told[0].removesuffix(f' {least.kind}') if least.kind == most.kind else told[0]} to {told[1]}"


def _bent_edges(part: Part, known: KnownOfParts) -> Iterator[Table]:
    """Edges that are not as long in the boat as they are drawn."""
    rows = []
    for name, edge in known.bent[part.name].items():
        in_boat, why = edge_words(edge, known.show)
        if in_boat:
            rows.append((name, write_length(edge.drawn, known.show), in_boat, why))
    if rows:
        columns = ("edge", "drawn", "in the boat", "why")
        caption = "Edges whose length changes as they are bent"
        yield Table(caption, columns, tuple(rows), frozenset(columns[1:3]))


def _landings(landings: Sequence[Landing], show: str) -> Table:
    columns = ("height above base", "strake", "off the center plane", "half face", "face to bearding line")
    rows = tuple(
        (
            write_length(one.height, show),
            one.strake,
            f"{np.degrees(one.angle):.1f}°",
            write_length(one.half_face, show),
            write_length(one.depth, show),
        )
        for one in landings
    )
    return Table("How the planking lands, both sides", columns, rows, frozenset(columns) - {"strake"})


def _pieces(group: PartGroup, known: KnownOfParts) -> Iterator[Block]:
    """What a frame is put together from: a picture and a row each, and their files."""
    names = _names(group)
    pictures = (Figure(part_picture(hands[-1]), name) for name, hands in zip(names, group.pieces, strict=True))
    yield Figures(tuple(pictures))
    rows = tuple(
        (
            sentence(name),
            _make(hands),
            _wood(hands[-1], known.show),
            *(write_length(size, known.show) for size in finished_size(hands[-1])),
        )
        for name, hands in zip(names, group.pieces, strict=True)
    )
    columns = ("piece", "make", "wood", "finished", "wide")
    yield Table("Its pieces", columns, rows, frozenset(columns[3:]))


def _links(group: PartGroup, files: Mapping[str, Sequence[Link]]) -> Iterator[Link]:
    """The files of a part and its pieces, kind by kind, each by whatever tells it from others of its kind."""
    found: dict[str, dict[str, Link]] = {}
    for hands, name in ((group.hands, ""), *zip(group.pieces, _names(group), strict=True)):
        of_hand = [files.get(hand.title, ()) for hand in hands]
        for hand, links in zip(hands, of_hand, strict=True):
            for link in links:
                one_hand = len(hands) > 1 and not all(link in other for other in of_hand)
                words = (name.partition(",")[0], link.text, hand.hand if one_hand else "")
                told = replace(link, text=" ".join(filter(None, words)))
                found.setdefault(link.kind, {}).setdefault(link.target, told)
    for kind, alike in found.items():
        for link in alike.values():
            if len(alike) == 1 and not link.text:
                yield replace(link, text=kind, kind="")
            else:
                yield replace(link, text=link.text or "whole")


def _names(group: PartGroup) -> list[str]:
    """What its pieces are called beside it: "floor timber" of "frame 1 floor timber"."""
    return [called(hands).removeprefix(f"{group.part.name} ") for hands in group.pieces]
