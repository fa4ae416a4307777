"""The job book's parts: each pattern, port and starboard together, with picture, sizes, edges, files and use."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import fsum

import numpy as np

from patterns.geometry.arrays import run_along
from patterns.hull.build import Joint
from patterns.parts.edges import as_laid
from patterns.parts.materials import material_words
from patterns.parts.part import Edge, Landing, Part
from patterns.parts.role import EdgeKind
from patterns.plates.overview import part_picture
from patterns.plates.words.length_words import edge_words, lengths_words, sentence
from patterns.shop.fit.bent_edges import BentEdges, EdgeLength
from patterns.shop.stock.lengths import Lengths, finished_size
from patterns.units.lengths import write_length
from patterns.writing.book.book_words import how_to_use
from patterns.writing.report.report_blocks import Block, Bullets, Figure, Link, Links, Paragraph, Section, Table


def parts_section(
    parts: Sequence[Part],
    files: Mapping[str, Sequence[Link]],
    show: str,
    bottom: Joint,
    lengths: Mapping[str, Lengths],
    bent: BentEdges,
) -> Section:
    """Every part of the boat, by name.

    Parameters
    ----------
    bottom : Joint
        How bottom and sides meet.
    files : mapping
        By the part's title, links to the files made of it.
    lengths : mapping
        By the part's title.
    bent : mapping
        The edges of sprung parts, by the part's name.
    """
    names = dict.fromkeys(part.name for part in parts)
    pairs = [[part for part in parts if part.name == name] for name in names]
    known = _Known(files, show, bottom, lengths, bent)
    made = tuple(_part(hands, known) for hands in pairs)
    contents = Links(tuple(Link(section.title, f"#{section.anchor}") for section in made))
    intro = Paragraph(
        "Pictures are small and without words: the patterns have them. Heavy lines are finished edges on the marked "
        "face, dashed ones edges on the far face; thin lines are marks of the boat."
    )
    return Section("Parts", (intro, contents), made)


@dataclass(frozen=True, slots=True, eq=False)
class _Known:
    """What is known of all parts besides what they are themselves, as `parts_section` has it."""

    files: Mapping[str, Sequence[Link]]
    show: str
    bottom: Joint
    lengths: Mapping[str, Lengths]
    bent: BentEdges


def _part(hands: Sequence[Part], known: _Known) -> Section:
    part = hands[-1]  # starboard of a pair
    title = part.name if len(hands) == 1 else f"{part.name}, {' and '.join(hand.hand for hand in hands)}"
    return Section(title[0].upper() + title[1:], tuple(_blocks(part, hands, known)))


def _blocks(part: Part, hands: Sequence[Part], known: _Known) -> Iterator[Block]:
    show = known.show
    its = "" if part.marked_face.startswith("either") else "its "
    shown = f"{part.title}: {its}{part.marked_face} toward you"
    bow = as_laid(part).bow
    if bow in ("left", "right", "up", "down"):
        shown += f", bow {'at the ' if bow in ('left', 'right') else ''}{bow}"
    yield Figure(part_picture(part), f"{shown}.", fitted=True)
    yield Paragraph(_sizes(part, hands, known.lengths[part.title], show))
    yield Paragraph(f"At the bench: {how_to_use(part, known.bottom)}")
    yield _edges(part, known.bent.get(part.name, {}), show)
    if part.landings:
        yield _landings(part.landings, show)
    remarks = dict.fromkeys(
        remark for hand in reversed(hands) for remark in hand.remarks if not remark.startswith("Drawn ")
    )
    if remarks:
        yield Bullets(tuple(remarks))
    if links := tuple(dict.fromkeys(_links(hands, known.files))):
        yield Links(links)


def _links(hands: Sequence[Part], files: Mapping[str, Sequence[Link]]) -> Iterator[Link]:
    """The files of a part; where each hand of a pair has its own, with the hand's name."""
    of_hand = [files.get(hand.title, ()) for hand in hands]
    for hand, links in zip(hands, of_hand, strict=True):
        for link in links:
            own = len(hands) > 1 and not all(link in other for other in of_hand) and hand.hand not in link.text
            yield replace(link, told=f"({hand.hand}; {link.told.strip('()')})") if own else link


def _sizes(part: Part, hands: Sequence[Part], lengths: Lengths, show: str) -> str:
    long, wide = lengths_words(lengths, show), write_length(finished_size(part)[1], show)
    make = f"make {part.count}" if len(hands) == 1 else f"make {part.count} of each hand, mirrored"
    thick = write_length(part.thickness, show)
    line = f" The finished line lies {part.line}." if part.line else ""
    wood = f"{material_words(part.material)}, {thick} {part.thickness_is}"
    return f"{sentence(long)}; {wide} wide; {wood}; {make}. {_grain(part)}.{line}"


def _grain(part: Part) -> str:
    return f"{part.grain[:1].upper()}{part.grain[1:]}" if "grain" in part.grain else f"Grain {part.grain}"


def _edges(part: Part, bent: Mapping[str, EdgeLength], show: str) -> Table:
    """Each edge once by name; what notches and limbers cut an edge into is added up."""
    names = dict.fromkeys(edge.name for edge in part.edges if edge.kind is not EdgeKind.NOTCH)
    edges = {name: part.edges_of(name) for name in names}
    lengths = {name: fsum(float(run_along(edge.points)[-1]) for edge in edges[name]) for name in names}
    in_boat = {name: edge_words(bent[name], show) if name in bent else ("", "") for name in names}
    if not any(where for where, _ in in_boat.values()):
        rows = tuple((name, write_length(lengths[name], show), _bevels(edges[name])) for name in names)
        return Table("Edges, on the marked face", ("edge", "drawn", "bevel off square"), rows, frozenset(("drawn",)))
    return Table(
        "Edges, on the marked face: drawn as long as the middle of the thickness, whose length bending keeps",
        ("edge", "drawn", "in the boat", "why", "bevel off square"),
        tuple((name, write_length(lengths[name], show), *in_boat[name], _bevels(edges[name])) for name in names),
        frozenset(("drawn", "in the boat")),
    )


def _bevels(edges: Sequence[Edge]) -> str:
    bevels = [bevel for edge in edges for bevel in edge.bevels]
    if not bevels:
        return "square"
    least, most = (pick(bevels, key=lambda bevel: bevel.angle) for pick in (min, max))
    told = [
        "square" if bevel.kind == "square" else f"{abs(np.degrees(bevel.angle)):.1f}° {bevel.kind}"
        for bevel in sorted((least, most), key=lambda bevel: abs(bevel.angle))
    ]
    return told[0] if told[0] == told[1] else " to ".join(told)


def _landings(landings: Sequence[Landing], show: str) -> Table:
    columns = ("height above base", "strake", "off the centre plane", "half face", "face to bearding line")
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
