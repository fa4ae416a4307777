"""README and guide keep their word: every command they print works as typed, every link leads somewhere."""

from __future__ import annotations

import re
import shlex
import shutil
import tomllib
from pathlib import Path

import pytest
from commanded import ROOT, SALTMEADOW, scrieve_here

GUIDE = ROOT / "shared" / "guide"
PAGES = [ROOT / "README.md", *sorted(GUIDE.glob("*.md"))]
LINK = re.compile(r"!?\[[^\]]*\]\(([^)#\s]+)[^)]*\)")


def commands(page: Path) -> list[list[str]]:
    """The commands a page has its reader type, each as its words after ``scrieve``."""
    lines, found, fenced = page.read_text(encoding="utf-8").splitlines(), [], False
    for line in lines:
        if line.startswith("```"):
            fenced = line == "```sh"
        elif (fenced or line.startswith("    ")) and line.lstrip().startswith("scrieve "):
            found.append(shlex.split(line, comments=True)[1:])
    return found


@pytest.mark.slow
@pytest.mark.parametrize("page", [page for page in PAGES if commands(page)], ids=lambda page: page.stem)
def test_every_command_of_a_page_works_in_the_order_it_is_printed(
    page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.copytree(ROOT / "samples", tmp_path / "samples", ignore=shutil.ignore_patterns("out", "sheets"))
    monkeypatch.chdir(tmp_path)
    for words in commands(page):
        done = scrieve_here(*words, settings=tmp_path / "settings")
        assert done.returncode == 0, (words, done.stdout, done.stderr)
        if words[0] == "new":
            # Her own boat's figures are filled in where `new` left blanks for them.
            assert "?" in (tmp_path / words[1] / "boat.toml").read_text(encoding="utf-8")
            for name in ("boat.toml", "offsets.csv"):
                shutil.copy(SALTMEADOW / name, tmp_path / words[1] / name)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_every_link_and_picture_of_a_page_is_there(page: Path) -> None:
    links = LINK.findall(page.read_text(encoding="utf-8"))
    assert [link for link in links if not (page.parent / link).is_file()] == []


def test_the_readme_leads_to_every_page_of_the_guide() -> None:
    links = LINK.findall((ROOT / "README.md").read_text(encoding="utf-8"))
    assert {page.name for page in PAGES[1:]} <= {Path(link).name for link in links}


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_every_piece_of_boat_toml_on_a_page_can_be_read(page: Path) -> None:
    for piece in re.findall(r"^```toml\n(.*?)^```", page.read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL):
        assert tomllib.loads(piece)
