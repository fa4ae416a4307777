"""The job book: whole in itself, true to its links, legible on a phone, a screen and paper."""

from __future__ import annotations

import base64
import itertools
import json
import re
from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pytest
from browsed import UNSHADED, probed

from patterns.geometry.meshes import Mesh
from patterns.parts.in_the_boat import in_the_boat
from patterns.parts.whole import loft
from patterns.reading.boat.boat_toml import read_boat

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
SALTMEADOW = ROOT / "samples" / "saltmeadow"
VOID = {"meta", "br", "img", "link", "input", "hr"}


class Page(HTMLParser):
    """Every element of a page with its attributes, and the words in it."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str]]] = []
        self.open: list[str] = []
        self.feed(text)
        assert not self.open

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {name: value or "" for name, value in attrs}))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def all(self, *tags: str) -> list[dict[str, str]]:
        return [attributes for tag, attributes in self.elements if tag in tags]


@pytest.fixture(scope="module")
def text(job_folder: Path) -> str:
    return (job_folder / "book.html").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def page(text: str) -> Page:
    return Page(text)


def test_every_link_leads_somewhere(page: Page, job_folder: Path) -> None:
    ids = [attributes["id"] for _, attributes in page.elements if "id" in attributes]
    assert len(ids) == len(set(ids))
    targets = [attributes["href"] for attributes in page.all("a")]
    files = {target.partition("#")[0] for target in targets if not target.startswith("#")}
    assert [target for target in targets if target.startswith("#") and target[1:] not in ids] == []
    assert [name for name in files if not (job_folder / name).is_file()] == []


def test_every_file_made_of_a_part_is_linked(page: Page, job_folder: Path) -> None:
    linked = {attributes["href"].partition("#")[0] for attributes in page.all("a")}
    there = {str(path.relative_to(job_folder)) for path in job_folder.rglob("*") if path.is_file()}
    assert there - linked == {".scrieve-files", "book.html"}


def test_links_to_the_tiles_open_at_the_parts_own_sheet(page: Page, job_folder: Path) -> None:
    pypdfium2 = pytest.importorskip("pypdfium2")
    sheets = pypdfium2.PdfDocument(job_folder / "paper" / "patterns-letter.pdf")
    pages = [
        int(attributes["href"].partition("#page=")[2])
        for attributes in page.all("a")
        if attributes["href"].startswith("paper/patterns-letter.pdf#page=")
    ]
    assert len(pages) >= 14  # six frames and their gussets, transom and stem
    assert 2 == min(pages) < max(pages) <= len(sheets)
    first = sheets[min(pages) - 1].get_textpage().get_text_bounded()
    assert "frame 1" in first.casefold()


def test_the_book_says_how_to_have_the_other_patterns_on_pages(text: str) -> None:
    assert "--all" in text.partition('id="parts"')[2].partition("</section>")[0]


def test_links_to_shared_papers_open_where_the_part_is(page: Page, job_folder: Path) -> None:
    pypdfium2 = pytest.importorskip("pypdfium2")

    def words(target: str) -> str:
        path, _, number = target.partition("#page=")
        text: str = pypdfium2.PdfDocument(job_folder / path)[int(number) - 1].get_textpage().get_text_bounded()
        return " ".join(text.split())

    links = {attributes["href"] for attributes in page.all("a")}
    for path, wanted in (
        ("paper/bevel-boards.pdf", {"side panel", "frame 5", "keel batten", "thwart 2"}),
        ("paper/setting-up.pdf", {"frame 5: height at the sheer mark", "transom: rake"}),
        ("paper/saw-set-ups.pdf", {"CHINE LOG, PORT", "KEEL BATTEN"}),
        ("paper/roll.pdf", {"CHINE LOG, PORT", "FRAME 1 "}),
    ):
        said = " ".join(words(link) for link in links if link.startswith(f"{path}#page=")).casefold()
        assert all(one.casefold() in said for one in wanted), path


def test_hands_with_the_same_figures_are_told_once_and_corners_are_named(text: str) -> None:
    assert "Layout of side panel fore piece, port and starboard" in text
    assert "<h3>Layout of side panel fore piece, port</h3>" not in text
    thwart = text.partition('id="layout-of-thwart-1"')[2].partition("</section>")[0]
    assert "<td>1</td>" in thwart.replace(' class="figure"', "")


def test_the_page_asks_nothing_of_the_network(page: Page, text: str) -> None:
    outside = [
        (tag, name, value)
        for tag, attributes in page.elements
        for name, value in attributes.items()
        if ("//" in value.partition("base64,")[0] or value.startswith("http") or "data:" in value[1:])
        and not name.startswith("xmlns")
    ]
    assert outside == []
    assert "http" not in text
    pictures = [attributes["href"] for attributes in page.all("image")]
    assert pictures
    assert all(picture.startswith("data:image/png;base64,") for picture in pictures)
    assert page.all("link", "img", "iframe") == []
    assert [attributes for attributes in page.all("script") if "src" in attributes] == []
    assert not any(word in text for word in ("url(", "@import", "fetch(", "XMLHttpRequest", "import("))


def test_headings_follow_in_order_and_everything_seen_is_also_said(page: Page) -> None:
    levels = [int(tag[1]) for tag, _ in page.elements if tag in ("h1", "h2", "h3", "h4")]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in itertools.pairwise(levels))
    assert page.all("html")[0]["lang"] == "en"
    assert all(attributes.get("scope") == "col" for attributes in page.all("th"))
    assert len(page.all("caption")) == len(page.all("table")) > 20
    # A small picture of the contents says nothing: its link's words do.
    said = [a for a in page.all("svg") if a.get("aria-hidden") != "true"]
    assert all(a["role"] == "img" and len(a["aria-label"]) >= 4 for a in said)
    assert len(page.all("svg")) > 30


def test_every_default_taken_is_shown(text: str) -> None:
    defaults = read_boat(SALTMEADOW).defaults
    assert len(defaults) > 10
    rows = [row.split("</td><td>") for row in text.replace("<tr><td>", "\n").splitlines() if "</td><td>" in row]
    shown = {row[0] for row in rows}
    assert {default.key for default in defaults} <= shown


def test_without_scripts_the_boat_stands_still_and_is_seen(page: Page) -> None:
    assert not any("hidden" in attributes for _, attributes in page.elements)
    assert any(attributes.get("aria-label") == "Saltmeadow, shaded" for attributes in page.all("svg"))
    assert page.all("canvas") == []


LAID_OUT = """{
  wide: window.innerWidth,
  needs: document.documentElement.scrollWidth,
  stills: [...document.querySelectorAll(".still")].filter((e) => e.offsetHeight > 0).length,
  empty: [...document.querySelectorAll("svg")].filter((e) => {
    const box = e.getBoundingClientRect();
    return !e.closest("[hidden]") && !(box.width > 40 && box.height > 1 && e.querySelector("path, image, use"));
  }).map((e) => e.getAttribute("aria-label")),
}"""

SEEN = """(() => {
  const shown = (e) => e.getBoundingClientRect();
  const size = (e) => parseFloat(getComputedStyle(e).fontSize);
  const canvas = document.querySelector("canvas");
  const blank = document.createElement("canvas");
  [blank.width, blank.height] = [canvas.width, canvas.height];
  const before = canvas.toDataURL();
  canvas.dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowLeft", bubbles: true }));
  const after = canvas.toDataURL();

  return {
    ...%s,
    smallest: Math.min(...[...document.querySelectorAll("p,li,td,th,a,button,caption,figcaption")].map(size)),
    letters: Math.min(...[...document.querySelectorAll("[id^=lines-] text")]
      .map((e) => shown(e).height).filter((high) => high > 0)),
    drawn: before !== blank.toDataURL(), turned: before !== after,
  };
})()"""


@pytest.mark.parametrize("width", [390, 1280])
def test_in_a_browser_the_book_is_whole_and_legible(job_folder: Path, tmp_path: Path, width: int) -> None:
    seen = probed(job_folder / "book.html", SEEN % LAID_OUT, width=width, folder=tmp_path)
    assert seen["wide"] == width
    assert seen["needs"] <= width
    assert seen["empty"] == []
    assert seen["smallest"] >= 14  # px
    assert seen["letters"] >= 9  # px
    assert seen["drawn"]
    assert seen["turned"]
    assert seen["stills"] == 0


PICTURED = """(() => {
  const canvas = document.querySelector("canvas");
  function seen() {
    const copy = document.createElement("canvas");
    [copy.width, copy.height] = [canvas.width, canvas.height];
    const pen = copy.getContext("2d");
    pen.drawImage(canvas, 0, 0);
    const pixels = pen.getImageData(0, 0, copy.width, copy.height).data;
    const tones = new Set();
    let inked = 0;
    for (let i = 0; i < pixels.length; i += 4) if (pixels[i + 3] > 127) { inked += 1; tones.add(pixels[i]); }
    return { inked: inked / (copy.width * copy.height), tones: tones.size };
  }
  const whole = seen();
  const slider = document.querySelector("input[type=range]");
  slider.value = 1;
  slider.dispatchEvent(new Event("input"));
  return { shader: canvas.getContext("webgl2") !== null, whole: whole, apart: seen() };
})()"""


def test_bodies_are_shaded_where_the_browser_can_and_are_lines_where_it_cannot(
    job_folder: Path, tmp_path: Path
) -> None:
    (tmp_path / "wires").mkdir()
    book = job_folder / "book.html"
    shaded = probed(book, PICTURED, width=1280, folder=tmp_path)
    assert shaded["shader"]
    assert 0.1 < shaded["whole"]["inked"] < 0.6  # of the canvas
    assert shaded["whole"]["tones"] > 60
    assert shaded["apart"] != shaded["whole"]
    wires = probed(book, PICTURED, width=1280, folder=tmp_path / "wires", graphics=UNSHADED)
    assert not wires["shader"]
    assert 0.005 < wires["whole"]["inked"] < 0.1
    assert wires["apart"] != wires["whole"]


def test_the_bodies_of_the_page_are_closed_wood_and_weigh_what_the_parts_do(text: str) -> None:
    data = text.partition('<script type="application/json">')[2].partition("</script>")[0]
    assert len(data) < 250_000
    assert len(text) < 2_000_000
    told = json.loads(data)
    volume = 0.0
    for body in told["bodies"]:
        points = np.frombuffer(base64.b64decode(body["points"]), dtype="<i2").reshape(-1, 3) * told["step"]
        triangles = np.frombuffer(base64.b64decode(body["triangles"]), dtype="<u2").reshape(-1, 3).astype(np.intp)
        mesh = Mesh(points, triangles)
        assert mesh.torn == 0
        assert mesh.volume > 0
        volume += mesh.volume
    placed = in_the_boat(loft(read_boat(SALTMEADOW).boat))
    assert len(told["bodies"]) == len(placed)
    # Outlines are simplified by half a millimetre, and rounded to the step.
    assert volume == pytest.approx(sum(one.wood.volume for one in placed), rel=0.01)


def test_on_paper_nothing_runs_off_the_side_and_the_boat_stands_still(job_folder: Path, tmp_path: Path) -> None:
    a4_between_margins = 718  # px at 96 to the inch, 10 mm margins
    seen = probed(job_folder / "book.html", f"({LAID_OUT})", width=a4_between_margins, folder=tmp_path, media="print")
    assert seen["needs"] <= a4_between_margins
    assert seen["empty"] == []
    assert seen["stills"] == 1


@pytest.fixture(scope="module")
def wall(job_folder: Path) -> list[str]:
    """The words of each page of the book for the wall."""
    pypdfium2 = pytest.importorskip("pypdfium2")
    document = pypdfium2.PdfDocument(job_folder / "book.pdf")
    assert document.get_page_size(0) == pytest.approx((612, 792))  # letter, points
    return [page.get_textpage().get_text_bounded() for page in document]


def test_on_the_wall_every_page_is_numbered_and_the_contents_lead_to_them(wall: list[str]) -> None:
    for number, words in enumerate(wall, 1):
        assert f"page {number} of {len(wall)}" in words
    for section in ("Order of work", "Parts", "Cut list", "Setting up", "Bevel boards", "Layout tables", "Cautions"):
        found = [int(line.split()[-1]) for line in wall[0].splitlines() if line.startswith(f"{section} ")] or [
            int(wall[0].splitlines()[n + 1]) for n, line in enumerate(wall[0].splitlines()) if line == section
        ]
        assert section in wall[found[0] - 1], section


def test_page_and_wall_tell_the_same(wall: list[str], text: str) -> None:
    on_the_wall = " ".join(" ".join(wall).split())
    for part in ("Side panel, port and starboard", "Frame 3", "Keel batten", "Thwart 2"):
        assert f"<h3>{part}</h3>" in text
        assert part in on_the_wall
    for default in read_boat(SALTMEADOW).defaults:
        assert default.key in on_the_wall


def test_nothing_on_the_wall_runs_off_the_paper(job_folder: Path) -> None:
    pypdfium2 = pytest.importorskip("pypdfium2")
    for page in pypdfium2.PdfDocument(job_folder / "book.pdf"):
        for kept in page.get_objects():
            left, bottom, right, top = kept.get_bounds()
            assert left >= 30, bottom  # points; 12 mm are 34, less half a pen and a letter's own overhang
            assert right <= 612 - 30
            assert bottom >= 28
            assert top <= 792 - 28


def test_every_part_with_a_table_leads_to_it_in_the_book(text: str) -> None:
    """Both hands of a pair lead to the one table they share, once."""
    tables = set(re.findall(r'id="(layout-of-[^"]+)"', text))
    led_to = re.findall(r'href="#(layout-of-[^"]+)"', text)
    assert tables == set(led_to)
    assert "layout-of-bottom-panel-fore-piece" in tables
