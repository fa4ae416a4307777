"""The cut plan for a router shop: an order form of sheets, then a page for each sheet with what is cut on it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import fsum

from patterns.drawing.marks import Drawing
from patterns.drawing.moved_marks import placed
from patterns.drawing.turning import extent
from patterns.plates.bench.bench_page import WIDTH, Block, Heading, bench_pages, paragraph, steps, table
from patterns.shop.nest.cut_plan import LayerWork, SheetWork, sheet_work
from patterns.shop.nest.sheet_pictures import sheet_kind, sheet_numbered
from patterns.shop.nest.sheets import FilledSheet, SheetPlan
from patterns.shop.router.router_rules import Relief, RouterLayer, RouterRules
from patterns.units.lengths import write_length, write_size

RELIEVED = {
    Relief.CORNER: "Inside corners are opened for it by an arc at the corner.",
    Relief.SIDE: "Inside corners are opened for it by an arc along one side.",
    Relief.NONE: "Inside corners are not opened for it: the builder cuts them square.",
}
METRIC = ("mm", "cm", "m")
REPEATED = (
    "Cut the sheet files, or lay out the part files yourself: the part files hold the same parts again. Files in the "
    "folder whole are to look at: their pieces are cut by files of their own."
)
SAFETY = "Clamp the sheet, keep hands clear of the cutter, collect the dust, and follow the rules of your shop."


@dataclass(frozen=True, slots=True)
class CutPlan:
    """What the pages are made of."""

    boat: str
    show: str
    plan: SheetPlan
    rules: RouterRules
    files: Mapping[int, str]  # by a sheet's number, its file
    off_sheets: Sequence[str] = ()  # parts on no sheet, counted by kind


def cut_plan_pages(made: CutPlan) -> list[Drawing]:
    """Every page, the order form first."""
    works = {sheet.number: sheet_work(sheet) for sheet in made.plan.sheets}
    pages = bench_pages(Heading(made.boat, "Cut plan", _under(made)), list(_order(made, works)), name="cut-plan")
    for sheet in made.plan.sheets:
        kind = f"{sheet_kind(sheet, made.show)}. File {made.files[sheet.number]}."
        heading = Heading(made.boat, f"Sheet {sheet.number} of {len(made.plan.sheets)}", kind)
        blocks = list(_sheet(made, sheet, works[sheet.number]))
        pages += bench_pages(heading, blocks, name=f"cut-plan-{sheet.number}")
    return pages


def _under(made: CutPlan) -> str:
    sheets = len(made.plan.sheets)
    return f"{sheets} {'sheet' if sheets == 1 else 'sheets'}, {sum(len(one.lying) for one in made.plan.sheets)} parts"


def _order(made: CutPlan, works: Mapping[int, SheetWork]) -> Iterator[Block]:
    yield paragraph("Sheets to order or to bring:")
    kinds: dict[str, list[FilledSheet]] = {}
    for sheet in made.plan.sheets:
        kinds.setdefault(sheet_kind(sheet, made.show), []).append(sheet)
    rows = [
        (kind, str(len(alike)), ", ".join(str(one.number) for one in alike), _cut(alike, works))
        for kind, alike in kinds.items()
    ]
    yield from table(("sheet", "count", "numbers", "cut through"), rows)
    yield paragraph(_tool(made))
    yield paragraph(_held(made))
    yield from map(paragraph, _index(made, works))
    yield steps(
        (
            "Measure how thick each sheet is. If it is more than 0.2 mm off its page's figure, ask the builder first.",
            "Open a sheet's file: it is in millimeters, with zero at the sheet's lower left corner. Measure its 100 mm "
            f"square (layer {made.rules.form.name('mark')}), on the screen and scored on the wood, before you cut. "
            "Where a sheet has no room for the square, measure the outline of the sheet.",
            "Each part lies with the face up that its row names. Choose the sheet's better side by that.",
            "Turn no part over: that would make the part of the other side of the boat.",
            "Cut by layer as each sheet's page says. Every cut is square: the bevels are planed later.",
            "Write the part's name on any part that is too small for its lettering.",
        )
    )
    yield paragraph(REPEATED)
    if made.off_sheets:
        yield paragraph(
            f"On no sheet: {', '.join(made.off_sheets)}. Where their files come with this plan, cut them only "
            "if the builder asks for it."
        )
    yield paragraph(SAFETY)


def _cut(sheets: Sequence[FilledSheet], works: Mapping[int, SheetWork]) -> str:
    length = fsum(works[one.number].cut for one in sheets)
    return f"{length / 1000:.1f} m, {_piercings(int(fsum(works[one.number].piercings for one in sheets)))}"


def _piercings(count: int) -> str:
    return f"{count} piercing{'' if count == 1 else 's'}"


def _tool(made: CutPlan) -> str:
    rules = made.rules
    if rules.cutter is None:
        return (
            "Tool: any cutter. The outlines are the parts' own; inside corners are not opened for a cutter. A round "
            "cutter leaves wood in them."
        )
    return f"Tool: a cutter of {_both(rules.cutter, made.show)}. {RELIEVED[rules.relief]}"


def _held(made: CutPlan) -> str:
    """What keeps a part where it is once it is cut free."""
    rules = made.rules
    if rules.skin:
        return (
            f"Holding: leave a skin of {_both(rules.skin, made.show)} under every cut. Set the tool's zero on the "
            "table, not on the sheet, so that the skin is even. Cut the parts free with a knife and sand them flush."
        )
    if rules.tabs:
        return (
            f"Holding: {rules.tabs} tabs on a part, {_both(rules.tab_length, made.show)} long. Cut them with a "
            "chisel or a saw and trim the stumps flush."
        )
    return "Holding: no tabs are drawn. Hold each part by screws or vacuum, or leave tabs of your own."


def _index(made: CutPlan, works: Mapping[int, SheetWork]) -> Iterator[str]:
    if made.rules.index and any(work.index for work in works.values()):
        yield (
            f"Index holes of {_both(made.rules.index, made.show)} are on the layer {made.rules.form.name('drill')}. "
            "Bore them true to place and through: dowels in them align parts that are joined."
        )


def _both(mm: float, show: str) -> str:
    """In the shop's millimeters and the builder's own."""
    figure = f"{round(mm, 3):g} mm"
    return figure if show in METRIC else f"{figure} ({write_size(mm, show)})"


def _sheet(made: CutPlan, sheet: FilledSheet, work: SheetWork) -> Iterator[Block]:
    picture = sheet_numbered(sheet, made.show, width=WIDTH)
    left, low, _, high = extent(picture.marks)
    yield Block(tuple(placed(mark, (-left, -high)) for mark in picture.marks), high - low)
    hatched = " Nothing is cut where the picture is hatched." if sheet.stock.forbidden else ""
    yield paragraph(f"Arrows show the grain of each part.{hatched}")
    rows = [_layer(made, sheet, one) for one in work.layers]
    rows.append((made.rules.form.name("sheet"), "the sheet's outline and zero", "not cut", "1", ""))
    yield from table(("layer", "what is done", "how deep", "lines", "length"), rows)
    yield paragraph(_sums(made, work))
    lying = enumerate(sheet.lying, 1)
    rows = [(f"{number}  {placement.name}", part.face) for number, (placement, part) in lying]
    yield from table(("number and part", "face up"), rows)
    if made.rules.cutter is not None:  # else the tool is not known, and that has been said
        yield from map(paragraph, _cannot_be_cut(sheet))
    left_over = [f"{write_length(one.length, made.show)} x {write_length(one.width, made.show)}" for one in sheet.left]
    yield paragraph(f"Left over: {'; '.join(left_over)}." if left_over else "No piece worth keeping is left over.")


def _cannot_be_cut(sheet: FilledSheet) -> Iterator[str]:
    """What the cutter cannot do, and on which parts by their numbers: the builder has been told, so let it stay."""
    by_words: dict[str, list[str]] = {}
    for number, (_, part) in enumerate(sheet.lying, 1):
        for words in part.cautions:
            by_words.setdefault(words, []).append(str(number))
    for words, numbers in by_words.items():
        yield f"The builder knows of this on {', '.join(numbers)}: {words}."


def _layer(made: CutPlan, sheet: FilledSheet, work: LayerWork) -> tuple[str, ...]:
    bored = f"through, {_both(sheet.cut_from, made.show)}"
    through = bored
    if made.rules.skin:
        through = f"{_both(sheet.cut_from - made.rules.skin, made.show)}: leave {_both(made.rules.skin, made.show)}"
    scored = f"about 0.5 mm{'' if made.show in METRIC else ' (1/64 in)'}, or leave out"
    deeds: dict[RouterLayer, tuple[str, str]] = {
        "cut-outside": ("cut, cutter outside the line", through),
        "cut-inside": ("cut, cutter inside the line", through),
        "drill": ("bore at the center of each circle", bored),
        "far-face": ("score: the edge on the far face", scored),
        "mark": ("score: the boat's lines", scored),
        "tab": (f"leave a tab beside each line, {_both(made.rules.tab_height, made.show)} high", "not cut"),
        "text-names": ("engrave names", scored),
        "text-bevels": ("engrave bevels", scored),
    }
    deed, deep = deeds[work.layer]
    length = f"{work.length / 1000:.2f} m" if work.length else ""
    return made.rules.form.name(work.layer), deed, deep, str(work.count), length


def _sums(made: CutPlan, work: SheetWork) -> str:
    said = f"Cut through: {work.cut / 1000:.2f} m, {_piercings(work.piercings)}."
    holes = ", ".join(f"{count} of {_both(diameter, made.show)}" for diameter, count in work.holes)
    for diameter, count in work.index:
        holes = f"{holes}{', ' if holes else ''}{count} index holes of {_both(diameter, made.show)}"
    strokes = work.of("text-names").count + work.of("text-bevels").count
    return f"{said} Holes: {holes or 'none'}. Lettering: {strokes} strokes."
