"""The job book's section on weight and floating."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from patterns.parts.materials import material_words
from patterns.shop.afloat.floats import Afloat, Condition
from patterns.shop.afloat.weights import Spread, Weighed, summed
from patterns.units.lengths import INCH
from patterns.units.tape import about_length
from patterns.units.weights import METRIC, write_area, write_density, write_weight
from patterns.writing.report.afloat_words import (
    FOR_INFORMATION,
    NOT_THESE,
    draft_words,
    freeboard_words,
    spread_words,
    swamp_words,
    trim_words,
    weight_words,
)
from patterns.writing.report.report_blocks import Block, Bullets, Paragraph, Section, Table

SOURCE = (
    "Densities of woods: Forest Products Laboratory, Wood Handbook, FPL-GTR-282 (2021), Tables 5-3b and 5-5b, at 12 % "
    "moisture. One board may be a tenth lighter or heavier than the average: common practice. Figures from boat.toml "
    "stand as they are written."
)
UNKNOWN = "?"


def afloat_section(boat: Afloat, show: str) -> Section:
    """Weights by part, then how she floats with each load that comes aboard."""
    return Section("Weight and floating", tuple(_blocks(boat, show)))


def _blocks(boat: Afloat, show: str) -> Iterator[Block]:
    yield Paragraph(FOR_INFORMATION, "caution")
    yield Bullets(NOT_THESE)
    for one in boat.swamped:
        yield Paragraph(f"{one.name}: {swamp_words(one, show)}", "caution")
    words = weight_words(boat.hull, show)
    yield Paragraph(f"Weight: {words}")
    if boat.hull.known:
        x, _, z = (about_length(float(mm), show) for mm in boat.hull.centre)
        yield Paragraph(f"Its center lies {x} from FP and {z} above base.")
    yield _weights(boat.hull.parts, show)
    yield Paragraph(SOURCE, "note")
    if boat.hull.left_out:
        yield Paragraph(f"Not weighed, because their place is not known: {', '.join(boat.hull.left_out)}.", "note")
    if boat.conditions:
        yield _afloat(boat, show)
        yield _levels(boat, show)
        yield Paragraph(
            f"She floats in {boat.rules.water} water of {write_density(boat.rules.water.density, show)}. Drafts and "
            "freeboards run from the lightest hull to the heaviest. The other figures are of the likely weight."
        )
        if not boat.rules.loads:
            yield Paragraph("Write each person and thing aboard as a [[load]] in boat.toml.", "note")
    else:
        yield Paragraph("How she floats is not worked out until every material has a density.")


def _weights(parts: tuple[Weighed, ...], show: str) -> Table:
    """Both hands of a part, and all pieces of one name, in one row."""

    def name(one: Weighed) -> tuple[str, str]:
        return one.name, one.material

    order = list(dict.fromkeys(map(name, parts)))
    groups = [(key, list(some)) for key, some in groupby(sorted(parts, key=lambda p: order.index(name(p))), key=name)]
    rows = [
        (title, material_words(material), _density(some[0].density, show), *_weight(some, show))
        for (title, material), some in groups
    ]
    if all(one.weight for one in parts):
        rows.append(("all together", "", "", *_weight(list(parts), show)))
    columns = ("part", "material", "density", "weight", "from", "to")
    return Table("The bare hull by its parts", columns, tuple(rows), frozenset(columns[2:]))


def _density(density: Spread | None, show: str) -> str:
    if density is None:
        return UNKNOWN
    least, most = (write_density(figure, show) for figure in (density.least, density.most))
    return most if least == most else f"{least.partition(' ')[0]} to {most}"


def _weight(some: list[Weighed], show: str) -> tuple[str, str, str]:
    weights = [one.weight for one in some if one.weight]
    if len(weights) < len(some):
        return UNKNOWN, "", ""
    all_of_it = summed(weights)
    return (
        write_weight(all_of_it.likely, show),
        write_weight(all_of_it.least, show),
        write_weight(all_of_it.most, show),
    )


def _afloat(boat: Afloat, show: str) -> Table:
    columns = ("aboard", "weight in all", "draft", "least freeboard", "at, from FP", "trim")
    # Ranges may go over to a second line: a page is narrow.
    figures = frozenset(("weight in all", "at, from FP"))
    return Table("How she floats", columns, tuple(_row(one, show) for one in boat.conditions), figures)


def _row(one: Condition, show: str) -> tuple[str, ...]:
    weight, rest = spread_words(one.weight, show), one.likely
    if rest is None or one.swamps:
        return one.name, weight, "", "SWAMPS", "", ""
    return (
        one.name,
        weight,
        draft_words(one, show),
        freeboard_words(one, show),
        about_length(rest.least_at, show),
        trim_words(rest, show),
    )


def _levels(boat: Afloat, show: str) -> Table:
    step, said = (10.0, "10 mm deeper") if show in METRIC else (INCH, "1 inch deeper")
    columns = (
        "aboard",
        "water above base, fore end",
        "after end",
        "wetted planking",
        "water surface cut",
        f"{said} takes",
    )
    rows = []
    for one in boat.conditions:
        rest = one.likely
        if rest is None or one.swamps:
            continue
        deeper = rest.under.waterplane * step / 1e9 * boat.rules.water.density
        rows.append(
            (
                one.name,
                *(about_length(mm, show) for mm in rest.marks),
                write_area(rest.under.wetted, show),
                write_area(rest.under.waterplane, show),
                write_weight(deeper, show),
            )
        )
    return Table("Where the water stands (ends of the sheer)", columns, tuple(rows), frozenset(columns[1:]))
