"""The job book's section on fastening and finishing: every seam, what to buy for it, and by which rules."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patterns.parts.hazards import EPOXY
from patterns.plates.words.fastening_words import (
    NOT_STRENGTH,
    amount_words,
    area_words,
    fastening_words,
    pilot_words,
    rule_rows,
    size_words,
    what_words,
)
from patterns.shop.fastening.finishing import Finishing
from patterns.shop.fastening.panel_seams import IN_LINE
from patterns.shop.fastening.rules import FastenRules, FinishRules
from patterns.shop.fastening.seam import Seam, pairs_together, totals
from patterns.shop.router.router_rules import RouterRules
from patterns.units.lengths import unbroken, write_length
from patterns.units.weights import METRIC
from patterns.writing.report.report_blocks import Block, Bullets, Paragraph, Section, Table

TITLE = "Fastening and finishing"
_INCH_SCREWS = "Screws are wood screws by number (ASME B18.6.1), the length of the whole screw."
_METRIC_SCREWS = (
    "Screws are countersunk wood screws by diameter and length of the whole screw, nominal sizes as in DIN 97 and DIN "
    "7997."
)
_COUNTED = (
    "Nails of the same length go in the same places. Pilots are 70 percent of a screw's root in soft wood and 90 in "
    "hard wood (common practice). Try one in an offcut. Each line has one row, no further apart than the table says. A "
    "pair counts port and starboard together. No fastening stands in a notch, in wood that is planed away, or nearer "
    "an edge than pilot_edge, except in the middle of a thin transom."
)
_DRIVEN = (
    "Drive them from outside, through the panel into the wood that the row names, unless a note under the table says "
    "how. Drive them square to the panel; into a frame or a transom in line with its faces."
)
_MIDWAY = (
    "Where two rows go into one piece of wood, each screw of the second stands midway between two of the first, so "
    "that they do not meet. The story sticks have all of them."
)
_OF_BOARDS = (
    "The boards of the bottom are not counted: bore first, and put two or three fastenings in each end of a board "
    "(common practice, no single source)."
)


def fastening_section(
    seams: Sequence[Seam],
    done: Finishing,
    fasten: FastenRules,
    finish: FinishRules,
    router: RouterRules,
    show: str,
    *,
    of_boards: bool,
) -> Section:
    """Fastenings first, then glue and finish, then the rules of both; ``of_boards``: the bottom is laid of boards."""
    blocks = _blocks(seams, done, fasten, finish, router, show, of_boards=of_boards)
    return Section(TITLE, tuple(blocks))


def _blocks(
    seams: Sequence[Seam],
    done: Finishing,
    fasten: FastenRules,
    finish: FinishRules,
    router: RouterRules,
    show: str,
    *,
    of_boards: bool,
) -> Iterator[Block]:
    yield Paragraph(f"{EPOXY} Half-cured dust sensitises. Keep sparks and stoves from solvents.", "caution")
    yield Paragraph(NOT_STRENGTH)
    if seams:
        yield _to_buy(seams, fasten, show)
        yield Paragraph(f"{_METRIC_SCREWS if show in METRIC else _INCH_SCREWS} {_COUNTED}")
        yield Paragraph(_DRIVEN)
        if any("midway" in seam.how for seam in seams):
            yield Paragraph(_MIDWAY)
        yield from _by_part(seams, show)
    if done.joints:
        rows = tuple(
            (one.name, _mm(one.length, show), _mm(one.width, show), area_words(one.area, show)) for one in done.joints
        )
        columns = ("joint", "length", "wide", "area")
        yield Table("Glued joints, both hands together", columns, rows, frozenset(columns[1:]))
    yield _amounts(done, show)
    yield Bullets(
        (
            *_areas(done, show),
            *([_OF_BOARDS] if of_boards else []),
            "The least counts the least waste, the most counts the most. The maker's sheet for what you use comes "
            "before any figure here.",
        )
    )
    ruled = tuple(rule_rows(fasten, finish, router, show))
    yield Table("Counted by these rules; each is a key of boat.toml", ("key", "value", "means", "source"), ruled)


def _areas(done: Finishing, show: str) -> Iterator[str]:
    if done.inside:
        yield (
            f"Planking: {area_words(done.outside, show)} outside, {area_words(done.inside, show)} inside. Frames, "
            "rails and thwarts are not in these areas: add for them."
        )
    else:
        yield "Planking without panels is not measured here, nor its fastenings counted: measure it on the hull."


def _mm(length: float | None, show: str) -> str:
    return "" if length is None else write_length(length, show)


def _to_buy(seams: Sequence[Seam], fasten: FastenRules, show: str) -> Table:
    rows = tuple(
        (fastening_words(kind, show), pilot_words(kind, show), str(count), str(more))
        for kind, count, more in totals(seams, fasten)
    )
    columns = ("fastening", "pilot", "counted", "to buy")
    return Table(f"Fastenings to buy, {fasten.spare:g} % to spare", columns, rows, frozenset(columns[2:]))


def _by_part(seams: Sequence[Seam], show: str) -> Iterator[Block]:
    """A table for each part, and under it how those are driven that are not driven as most."""
    of: dict[str, list[tuple[Seam, int]]] = {}
    for seam, count in pairs_together(seams):
        twin = count > seam.count
        title = seam.part.removesuffix(", port").removesuffix(", starboard") + ", port and starboard"
        of.setdefault(title if twin else seam.part, []).append((seam, count))
    for title, some in of.items():
        rows = tuple(
            (
                seam.along if seam.into in seam.along else f"{seam.along}, into {seam.into}",
                write_length(seam.length, show),
                unbroken(write_length(seam.spacing, show)),
                str(count),
                unbroken(fastening_words(seam.fastening, show)),
            )
            for seam, count in some
        )
        columns = ("along", "length", "apart", "count", "fastening")
        yield Table(title, columns, rows, frozenset(columns[1:4]))
        told = tuple(dict.fromkeys(_driven(seam) for seam, _ in some if not _as_most(seam)))
        if told:
            yield Bullets(told)


def _as_most(seam: Seam) -> bool:
    return seam.how.removesuffix(IN_LINE) == f"from outside, through the panel into the {seam.into}"


def _driven(seam: Seam) -> str:
    along = seam.along.removesuffix(", port").removesuffix(", starboard")
    return f"{along[:1].upper()}{along[1:]}: {seam.how}."


def _amounts(done: Finishing, show: str) -> Table:
    rows = tuple((what_words(one, show), size_words(one, show), *amount_words(one, show)) for one in done.amounts)
    columns = ("what", "on", "net", "with waste")
    return Table("Glue and finish", columns, rows, frozenset(columns[1:]))
