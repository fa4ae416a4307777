"""The page of the book by which the planks of a round hull are lined off."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.shop.layout.plank_figures import STEALER, PlankFigures
from patterns.units.lengths import INCH, write_length
from patterns.writing.report.report_blocks import Paragraph, Section, Table

SPARE = (1.10, 1.15)  # strips bought for scarfs and waste: common practice, no single source


def planks_section(figures: PlankFigures, show: str) -> Section:
    """How broad each plank is at every mould and at its ends, and the board it is got out of."""
    if figures.strips:
        return Section("Strips", (Paragraph(_strip_words(figures, show)), _strip_table(figures, show)))
    ribbands = figures.lines.rules.ribbands
    word = "space" if ribbands else "plank"
    columns = (word, *(place.name for place in figures.places))
    rows = tuple(
        (
            str(plank + 1),
            *("" if (mm := place.breadths[plank]) is None else write_length(mm, show) for place in figures.places),
        )
        for plank in reversed(range(figures.lines.count))
    )
    girths = ("girth", *(write_length(place.girth, show) for place in figures.places))
    table = Table("Breadths, from the sheer down", columns, (*rows, girths), frozenset(columns[1:]))
    boards = () if ribbands else (_boards(figures, show),)
    return Section("Plank lines", (*(Paragraph(words) for words in _words(figures, show)), table, *boards))


def _words(figures: PlankFigures, show: str) -> Iterator[str]:
    lines = figures.lines
    if lines.rules.ribbands:
        yield (
            f"{lines.count - 1} ribbands to a side. Ticks on moulds, transom and stem, numbered from the keel up, are "
            "their middles."
        )
    else:
        yield (
            f"{lines.count} planks to a side, numbered from the keel up. A tick on a mould, the transom or the stem is "
            "the upper edge of the plank with its number."
        )
    yield (
        "Breadths run along the inside of the planking; the lowest begins at the inner corner of the garboard. On "
        "the ends they are square to the plank, and the girth runs along stem or transom. Empty: the plank has ended "
        "on the stem. Spring a batten through the ticks of each line and look along it before any wood is cut. The eye "
        "is the judge: move a tick, not the batten."
    )
    if abs(lines.scale - 1) > 0.002:
        yield (
            "The breadths of boat.toml do not come to the girth: each was changed by "
            f"{100 * (lines.scale - 1):+.1f} percent."
        )
    for plank, place, here, broadest in figures.stealers:
        yield (
            f"Plank {plank} is only {write_length(here, show)} broad at the {place}, and "
            f"{write_length(broadest, show)} where it is broadest: less than {STEALER:.0%} (common practice, no single "
            "source). So narrow an end holds no fastening well. End it in the plank beside it with a stealer, or give "
            "fewer planks."
        )


def _boards(figures: PlankFigures, show: str) -> Table:
    columns = ("plank", "board length", "board width", "hollow")
    rows = []
    for number, blank in reversed(list(enumerate(figures.blanks, 1))):
        hollow = max(float(edge[:, 1].max() - edge[:, 1].min()) for edge in (blank.lower, blank.upper))
        rows.append((str(number), *(write_length(mm, show) for mm in (blank.length, blank.breadth, hollow))))
    return Table(
        "Boards to look for, about: spile each plank for its true shape",
        columns,
        tuple(rows),
        frozenset(columns[1:]),
    )


def _strip_words(figures: PlankFigures, show: str) -> str:
    bare, low, high = (_in_all(share * figures.strip_length, show) for share in (1.0, *SPARE))
    return (
        f"Strips {write_length(figures.lines.rules.strip or 0.0, show)} broad. Both sides take {bare} of them in all; "
        f"{low} to {high} with scarfs and waste (10 to 15 percent more: common practice, no single source). Strips do "
        "not taper: where the girth is less, they run out at the sheer or the keel."
    )


def _in_all(mm: float, show: str) -> str:
    """A length by which wood is bought: whole meters or feet."""
    return f"{mm / 1000:.0f} m" if show == "mm" else f"{mm / (12 * INCH):.0f} ft"


def _strip_table(figures: PlankFigures, show: str) -> Table:
    rows = tuple(
        (place.name, write_length(place.girth, show), str(strips))
        for place, strips in zip(figures.places, figures.strips, strict=True)
    )
    columns = ("place", "girth", "strips")
    return Table("Girth of one side, and whole strips over it", columns, rows, frozenset(columns[1:]))
