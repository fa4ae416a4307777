"""``scrieve printer``: a test page to print, and what was measured on it kept for later sheets."""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from pathlib import Path

from patterns.cli.screen import WARNING, Screen, paragraph
from patterns.errors import InputError, PatternsError, Problem
from patterns.job.wishes.printers import DEFAULT, correction_for, settings_file
from patterns.job.wishes.wishes import NO_PRINTER
from patterns.reading.names import fault_of_letters, spaced
from patterns.reading.settings.read_printers import read_printers
from patterns.tiling.paper.correction import Correction, Measured, correction, fitted_to_other_paper
from patterns.tiling.paper.paper import paper as paper_by_name
from patterns.tiling.paper.printer_page import printer_page
from patterns.units.lengths import Length, read_length

PAPER = "letter"  # of the test page, as of the patterns, where nothing says
LONGEST_NAME = 40  # letters; it stands on every page
COARSE = 0.5  # mm; a length written no finer than this says less of a printer than its error is


def printer(
    *, name: str | None, paper: str | None, out: Path | None, measured_across: str | None, measured_down: str | None
) -> None:
    """Make the test page, or keep what was measured on it.

    Raises
    ------
    PatternsError
        Words that cannot be read, a printer too far out, a file that cannot be written.
    """
    if measured_across is None and measured_down is None:
        _make_page(paper or PAPER, name, out)
        return
    if out is not None:
        raise PatternsError("--out: names the test page's file, and no page is made where a measured length is given")
    _keep(_name(name), _measured(measured_across, measured_down, paper))


def correction_told(name: str | None, *, said: str, paper: str, terminal: Screen) -> Correction | None:
    """The correction that a job's pages take (`correction_for`); told.

    Parameters
    ----------
    said : str
        Where the name stands, for a fault: "--printer", "boat.toml, [printer] name".
    paper : str
        What the pages are printed on.
    """
    found = correction_for(name, said=said)
    if found is None:
        return None
    print(f"Pages {found.words}.")
    if name is None:
        print("       It is the printer measured without a name; --printer none leaves the pages as they are.")
    measured = read_printers(settings_file())[found.printer]
    if measured.paper and measured.paper != paper:
        other = f"measured on {measured.paper}, and these pages are {paper}"
        turned = "If that is fed the other way round, across and down change places"
        cure = "measure on a test page of the same paper"
        terminal.warn(paragraph(WARNING, f"printer '{found.printer}': {other}. {turned}: {cure}."))
    return found


def _make_page(paper: str, name: str | None, out: Path | None) -> None:
    from patterns.writing.ink.pdf import pdf_bytes

    setup = paper_by_name(paper)
    file = out or Path(f"printer-test-{setup.name.replace(' ', '-')}.pdf")
    page = pdf_bytes([printer_page(setup)], title=f"Printer test page, {setup.name}")
    _write_page(file, page)
    print(f"Wrote {file}, a test page for {setup.name} paper (--paper for another).")
    print("Print it at 100 %, measure both bars to 0.2 mm with a steel rule, and say what they measure:")
    own = f" --name {name}" if name else ""
    print(f"    scrieve printer{own} --measured-across 199.2mm --measured-down 249.5mm")
    for known, measured in sorted(read_printers(settings_file()).items()):
        print(f"Measured before: {known}, {_figures(measured)}")


def _write_page(file: Path, page: bytes) -> None:
    """Beside and moved into place. A file that is not this very page is not this command's to write over."""
    fresh = file.with_name(f".{file.name}.new-{os.getpid()}")
    try:
        if file.exists() and (not file.is_file() or file.read_bytes() != page):
            raise PatternsError(f"{file}: is there already and would be lost; move it away or name another with --out")
        fresh.write_bytes(page)
        os.replace(fresh, file)
    except OSError as error:
        fresh.unlink(missing_ok=True)
        raise PatternsError(f"{file}: cannot be written ({error.strerror or error})") from error


def _name(name: str | None) -> str:
    plain = spaced(name if name is not None else DEFAULT)
    strange = fault_of_letters(plain, LONGEST_NAME)
    if not plain or plain == NO_PRINTER or strange:
        wanted = strange or f"a name for the printer, up to {LONGEST_NAME} letters and other than '{NO_PRINTER}'"
        raise InputError([Problem("--name", f"'{name}'", wanted)])
    return plain


def _measured(across: str | None, down: str | None, paper: str | None) -> Measured:
    """What was measured, every fault of it at once."""
    problems: list[Problem] = []
    found = [
        _bar(option, text, problems) for option, text in (("--measured-across", across), ("--measured-down", down))
    ]
    name = paper_by_name(paper).name if paper else ""
    if problems:
        raise InputError(problems)
    return Measured(found[0].mm, found[1].mm, name)


def _bar(option: str, text: str | None, problems: list[Problem]) -> Length:
    length = Length(0.0, 0.0)
    with suppress(ValueError):
        length = read_length(text, None) if text is not None else length
    if length.mm <= 0:
        found = "nothing" if text is None else f"'{text}'"
        wanted = "the length of the test page's bar with its unit, such as 199.2mm or '7 27/32 in'; both bars count"
        problems.append(Problem(option, found, wanted))
    elif length.step > COARSE:
        coarse = f"'{text}' is written to {length.step:.2g} mm only; measure to 0.2 mm, or say 200.0mm."
        print(paragraph(WARNING, f"{option}: {coarse}"), file=sys.stderr)
    return length


def _keep(name: str, measured: Measured) -> None:
    from patterns.writing.tables.printers_toml import write_printers

    file = settings_file()
    found = correction(name, measured)
    if said := fitted_to_other_paper(measured):
        print(paragraph(WARNING, said), file=sys.stderr)
    write_printers(file, {**read_printers(file), name: measured})
    print(f"Kept printer '{name}' in {file}: {_figures(measured)}.")
    if name == DEFAULT:
        print("Later pages are corrected for it, and say so, unless --printer names another or none.")
    else:
        print(f"Pages are corrected for it, and say so, when you name it: scrieve loft BOAT --printer '{name}',")
        print(f'or name = "{name}" under [printer] in boat.toml.')
    print(f"Across x {found.across:.4f}, down x {found.down:.4f}. Lay a rule on the bars of every page all the same.")


def _figures(measured: Measured) -> str:
    across, down = measured.bars
    on = f" on {measured.paper}" if measured.paper else ""
    return f"{across:.0f} mm across measured {measured.across:.5g} mm, {down:.0f} mm down {measured.down:.5g} mm{on}"
