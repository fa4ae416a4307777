"""The command as a builder runs it, on the sample boat and on bad input."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from commanded import ROOT, SALTMEADOW, bare_boat, scrieve, scrieve_here
from shapely import LineString, Polygon

from patterns.parts.whole import Job, loft
from patterns.reading.boat.boat_toml import read_boat

pytestmark = pytest.mark.slow

HEAVY = ("scipy", "ezdxf", "reportlab", "svgwrite", "shapely", "pydantic", "numpy")
"""Libraries that ``scrieve --help`` must not wait for."""


@pytest.fixture(scope="module")
def job(job_folder: Path) -> dict:
    return json.loads((job_folder / "job.json").read_text())


def lofted(boat: Path) -> Job:
    return loft(read_boat(boat).boat)


def contents(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def test_every_part_of_the_skiff_has_its_pattern(job: dict) -> None:
    titles = [(pattern["name"], pattern["hand"]) for pattern in job["patterns"]]
    frames = [(f"frame {n}", "none") for n in range(1, 7)]
    panels = [("side panel", "port"), ("side panel", "starboard"), ("bottom panel", "none")]
    pieces = [
        *((f"frame {n} side timber", hand) for n in range(1, 7) for hand in ("port", "starboard")),
        *((f"frame {n} {piece}", "none") for n in range(1, 7) for piece in ("floor timber", "gusset")),
    ]
    long = [(name, hand) for name in ("chine log", "inwale", "outwale", "rub rail") for hand in ("port", "starboard")]
    keels = [("keel batten", "none"), ("skeg", "none")]
    ends = [("transom", "none"), ("stem", "none")]
    thwarts = [("thwart 1", "none"), ("thwart 2", "none")]
    assert sorted(titles) == sorted([*panels, *frames, *pieces, *ends, *long, *keels, *thwarts])


def test_long_pieces_carry_their_lengths_ends_and_marks(job: dict) -> None:
    log = next(pattern for pattern in job["patterns"] if (pattern["name"], pattern["hand"]) == ("chine log", "port"))
    figures = log["long"]
    lower = next(edge for edge in log["edges"] if edge["name"] == "lower")
    assert figures["lengths"]["lower"] == pytest.approx(LineString(lower["points"]).length, rel=0.01)
    assert {mark["name"] for mark in figures["marks"]} == {"", *(f"frame {n}" for n in range(1, 7))}
    bevels = [{"degrees": bevel["degrees"], "kind": bevel["kind"]} for bevel in lower["bevels"]]
    assert [mark["lower_bevel"] for mark in figures["marks"]] == bevels
    assert all(mark["slope_degrees"] == pytest.approx(5.0, abs=0.05) for mark in figures["marks"])
    assert figures["ends"]["fore end"]["against"] == "stem, side"
    assert figures["ends"]["after end"]["against"] == "transom, fore face"


def test_ends_cut_at_an_angle_have_their_test_blocks(job_folder: Path) -> None:
    names = {path.name for path in (job_folder / "svg").glob("*-block.svg")}
    hands, ends = ("port", "starboard"), ("fore", "after")
    pieces = ("chine-log", "inwale", "outwale", "rub-rail")
    assert names == {f"{n}-{hand}-{end}-end-block.svg" for n in pieces for hand in hands for end in ends}


def test_every_file_the_job_names_is_there(job: dict, job_folder: Path) -> None:
    named = {name for pattern in job["patterns"] for name in pattern["files"]}
    assert named
    assert all((job_folder / name).stat().st_size > 0 for name in named)


def test_outlines_are_closed_simple_and_counter_clockwise(job: dict) -> None:
    for pattern in job["patterns"]:
        ring = Polygon(pattern["outline"])
        assert ring.is_valid, pattern["name"]
        assert ring.exterior.is_ccw, pattern["name"]
        assert ring.area == pytest.approx(pattern["area"], rel=1e-9)


def test_edges_follow_one_another_round_the_outline(job: dict) -> None:
    for pattern in job["patterns"]:
        edges = [np.array(edge["points"]) for edge in pattern["edges"]]
        for before, after in zip(edges, [*edges[1:], edges[0]], strict=True):
            assert np.abs(before[-1] - after[0]).max() < 1e-6, pattern["name"]


def test_edge_names_are_those_of_the_contract(job: dict) -> None:
    wanted = {
        "side panel": {"sheer", "chine", "stem", "transom"},
        "bottom panel": {"chine port", "chine starboard", "transom", "stem"},
        "frame 3": {"side port", "side starboard", "bottom", "inner", "top", "limber"},
        "transom": {"side port", "side starboard", "bottom", "top"},
    }
    for pattern in job["patterns"]:
        if pattern["name"] in wanted:
            names = {edge["name"] for edge in pattern["edges"] if not edge["name"].startswith("notch ")}
            assert names == wanted[pattern["name"]]


def test_starboard_lies_to_the_right_of_an_after_face_and_to_the_left_of_a_fore_face(job: dict) -> None:
    frames = [pattern for pattern in job["patterns"] if re.fullmatch(r"frame \d", pattern["name"])]
    assert {pattern["marked_face"] for pattern in frames} == {"after face", "fore face"}
    for pattern in frames:
        side = next(edge for edge in pattern["edges"] if edge["name"] == "side starboard")
        on_the_right = np.mean(side["points"], axis=0)[0] > 0
        assert on_the_right == (pattern["marked_face"] == "after face")


def test_no_offset_moves_further_than_it_may(job: dict) -> None:
    for line in job["lines"].values():
        for key in ("moved_height", "moved_half_breadth"):
            moved = [move for move in line[key] if move is not None]
            assert max(map(abs, moved)) <= 3.175 + 1e-9


def test_edges_that_meet_have_one_length(job: dict) -> None:
    """The side's lower edge and the bottom's line for it run the same corner, each on its own middle of thickness.

    They differ by the thickness term: half a thickness times the angle the edge turns through, under 1 rad here.
    """
    for pair in job["mating"]:
        assert abs(pair["length_a"] - pair["length_b"]) < 12.7 / 2, pair


def test_same_input_gives_the_same_bytes_under_another_hash_seed(job_folder: Path, tmp_path: Path) -> None:
    again = tmp_path / "again"
    assert scrieve("loft", SALTMEADOW, "--out", again, hash_seed="4711").returncode == 0
    assert contents(again) == contents(job_folder)


def test_bad_input_leaves_the_last_good_job_alone(job_folder: Path, tmp_path: Path) -> None:
    boat = tmp_path / "boat"
    shutil.copytree(SALTMEADOW, boat, ignore=shutil.ignore_patterns("out"))
    out = boat / "out"
    shutil.copytree(job_folder, out)
    before = contents(out)
    table = boat / "offsets.csv"
    table.write_text(table.read_text().replace("2-3-0,2-0-4", "2-13-0,2-0-9"))
    done = scrieve("loft", boat)
    assert done.returncode == 1
    assert "Traceback" not in done.stderr
    assert "'2-13-0'" in done.stderr
    assert "'2-0-9'" in done.stderr
    assert contents(out) == before


def test_help_waits_for_no_library() -> None:
    program = "import sys; from patterns.cli.main import main\ntry: main(['--help'])\nexcept SystemExit: pass\n"
    program += f"print([name for name in {HEAVY!r} if name in sys.modules], file=sys.stderr)"
    done = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stderr.strip() == "[]"


def test_faired_table_reads_back_as_a_fair_one(job_folder: Path, tmp_path: Path) -> None:
    boat = tmp_path / "boat"
    shutil.copytree(SALTMEADOW, boat, ignore=shutil.ignore_patterns("out"))
    shutil.copy(job_folder / "offsets-faired.csv", boat / "offsets.csv")
    for line in lofted(boat).lines:
        for view in (line.height, line.half_breadth):
            assert np.abs(view.moved).max() < 3.175  # nothing is held back by the limit any more


def test_an_inside_table_moves_a_frames_side_out_by_the_planking_over_the_cosine_of_its_bevel(
    tmp_path: Path, job: dict
) -> None:
    boat = tmp_path / "boat"
    shutil.copytree(SALTMEADOW, boat, ignore=shutil.ignore_patterns("out"))
    toml = boat / "boat.toml"
    toml.write_text(toml.read_text().replace('"outside of planking"  ', '"inside of planking"  '))
    inside = lofted(boat)
    for name in (f"frame {n}" for n in range(1, 7)):
        narrow, wide = side_starboard(job, name), inside.part(name).edge("side starboard")
        line = LineString(narrow["points"])
        place = line.interpolate(0.5, normalized=True)
        bevel = np.interp(
            line.length / 2, [b["along"] for b in narrow["bevels"]], [b["degrees"] for b in narrow["bevels"]]
        )
        # Plane geometry: the plank's deduction in the station plane is T/cos(bevel), not T.
        assert place.distance(LineString(wide.points)) == pytest.approx(9.525 / np.cos(np.radians(bevel)), abs=0.02)


def side_starboard(job: dict, name: str) -> dict:
    frame = next(pattern for pattern in job["patterns"] if pattern["name"] == name)
    return next(edge for edge in frame["edges"] if edge["name"] == "side starboard")


def test_a_misprint_is_named_by_its_cell_and_in_the_builders_units(tmp_path: Path) -> None:
    boat = bare_boat(tmp_path / "boat")
    table = boat / "offsets.csv"
    table.write_text(table.read_text().replace("1-8-3", "1-9-3"))
    done = scrieve_here("loft", boat, "--only", "stem")
    assert done.returncode == 0, done.stderr
    told = " ".join(done.stderr.split())
    assert "WARNING sheer half-breadth at 2: 1-9-3 lies" in told
    assert "one inch too much? did you mean 1-8-3?" in told
    told = json.loads((boat / "out" / "job.json").read_text())["suspects"]
    assert [(one["line"], one["view"], one["column"]) for one in told] == [("sheer", "half-breadth", "2")]
    assert told[0]["meant"] == pytest.approx(517.525)


def test_a_table_that_makes_no_hull_is_refused_with_the_offset_to_look_at(tmp_path: Path) -> None:
    boat = tmp_path / "boat"
    shutil.copytree(SALTMEADOW, boat, ignore=shutil.ignore_patterns("out"))
    table = boat / "offsets.csv"
    table.write_text(table.read_text().replace("1-8-3", "2-8-3"))
    done = scrieve_here("loft", boat)
    assert done.returncode == 1
    assert "sheer half-breadth at 2: 2-8-3 lies" in done.stderr
    assert "did you mean 1-8-3?" in done.stderr
    assert not (boat / "out").exists()


@pytest.mark.parametrize("kind", ["mould", "sawn"])
def test_a_boat_may_be_built_upside_down_on_moulds_or_frames_with_one_of_another_kind(
    tmp_path: Path, kind: str
) -> None:
    boat = tmp_path / "boat"
    shutil.copytree(SALTMEADOW, boat, ignore=shutil.ignore_patterns("out"))
    toml = boat / "boat.toml"
    stays = '\n[[frame]]\nstation = "3"\nkind = "sheet"\n'
    building = '\n[building]\nway = "upside down"\nstrongback = "4-0-0"\nspall = "1-6-0"\n'
    toml.write_text(toml.read_text().replace('"sawn"', f'"{kind}"') + stays + building)
    parts = lofted(boat).parts
    word = "mould" if kind == "mould" else "frame"
    assert {f"{word} 1", f"{word} 2", "frame 3", f"{word} 4"} <= {part.name for part in parts}
    for part in parts:
        if re.fullmatch(r"(mould|frame) \d", part.name):
            assert part.outline[:, 1].max() == pytest.approx(48 * 25.4)


def test_frames_that_cannot_be_are_told_together(tmp_path: Path) -> None:
    boat = tmp_path / "boat"
    shutil.copytree(SALTMEADOW, boat, ignore=shutil.ignore_patterns("out"))
    toml = boat / "boat.toml"
    wrong = '\n[[frame]]\nstation = "9"\n\n[building]\nway = "upside down"\n'
    toml.write_text(toml.read_text() + wrong)
    done = scrieve_here("loft", boat)
    assert done.returncode == 1
    assert "[[frame]] 1 station: found '9', expected" in done.stderr
    assert "[building] strongback: found nothing, expected how high" in done.stderr


def test_a_paper_nobody_makes_is_refused_with_those_there_are(tmp_path: Path) -> None:
    done = scrieve_here("loft", SALTMEADOW, "--out", tmp_path / "out", "--paper", "nonsense")
    assert done.returncode == 1
    assert "--paper: found 'nonsense', expected one of a0, a1," in done.stderr
    assert not (tmp_path / "out").exists()


def test_a_paper_too_small_for_the_bench_serves_for_the_patterns_alone(tmp_path: Path) -> None:
    boat = bare_boat(tmp_path / "boat", "inwale", "saw", "stock")
    done = scrieve_here("loft", boat, "--paper", "A5", "--only", "stem", "--out", tmp_path / "job")
    assert done.returncode == 0, done.stderr
    assert "A5 is too small for bench pages, bevel boards and setting up: they are on A4." in " ".join(
        done.stdout.split()
    )
    a5, a4 = "419.528 x 595.276 pts", "595.276 x 841.89 pts"
    for name, size in (("patterns-a5", a5), ("bevel-boards", a4), ("setting-up", a4), ("saw-set-ups", a4)):
        file = tmp_path / "job" / "paper" / f"{name}.pdf"
        assert size in subprocess.run(["pdfinfo", file], capture_output=True, text=True, check=True).stdout, name


def test_a_saw_line_further_out_than_any_saw_leaves_is_refused(tmp_path: Path) -> None:
    for wrong in ("1m", "26mm", "-2mm"):
        done = scrieve_here("loft", SALTMEADOW, "--out", tmp_path / "out", f"--saw-allowance={wrong}")
        assert done.returncode == 1
        assert f"--saw-allowance: found '{wrong}', expected" in done.stderr
        assert not (tmp_path / "out").exists()


def pram_table() -> str:
    """A pram of parabolas, inches: fair by construction."""
    x = {"bow transom": (0.0, 4.0), "1": 24.0, "2": 48.0, "3": 60.0, "4": 84.0, "transom": (98.0, 95.0)}
    places = [[at if isinstance(at, float) else at[line] for at in x.values()] for line in (0, 1)]

    def row(name: str, line: int, least: float, change: float, middle: float) -> str:
        return name + "," + ",".join(f"{least + change * ((at - middle) / 56) ** 2:.4f} in" for at in places[line])

    return "\n".join(
        [
            "Pram," + ",".join(x),
            "from FP,,24 in,48 in,60 in,84 in,",
            "heights",
            row("sheer", 0, 16.5, 3.5, 60),
            row("chine", 1, 1.0, 3.0, 55),
            "half-breadths",
            row("sheer", 0, 24.0, -7.0, 58),
            row("chine", 1, 20.5, -6.0, 58),
        ]
    )


def test_a_pram_has_two_transoms_and_no_stem(tmp_path: Path) -> None:
    boat = tmp_path / "pram"
    boat.mkdir()
    (boat / "offsets.csv").write_text(pram_table())
    skiff = (SALTMEADOW / "boat.toml").read_text()
    basics = skiff[: skiff.index("[chine_log]")]
    stem = basics[basics.index("[stem]") : basics.index("[transom]")]
    transom = basics[basics.index("[transom]") : basics.index("[planking.side]")]
    board = 'thickness = "3/4 in"\ncrown = "1 in"\n\n'
    ends = (
        '[bow_transom]\nprofile = [["0 in", "20.5179 in"], ["4 in", "3.4882 in"]]\n'
        + board
        + '[transom]\nprofile = [["98 in", "18.1116 in"], ["95 in", "2.5306 in"]]\n'
        + board
    )
    basics = basics.replace(stem, "").replace(transom, ends)
    basics = basics.replace('["1", "2", "3", "4", "5", "6"]', '["1", "2", "3", "4"]')
    (boat / "boat.toml").write_text(basics)
    job = lofted(boat)
    assert {"bow transom", "transom"} <= {part.name for part in job.parts}
    # The side's end and the transom's side are one edge seen twice: as long, but for both thicknesses' trim.
    end = job.part("side panel, port").edge("bow transom")
    side = job.part("bow transom").edge("side port")
    assert LineString(end.points).length == pytest.approx(LineString(side.points).length, abs=1.0)
