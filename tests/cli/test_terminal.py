"""The command in a real terminal: how much it says, where, how it shows its work, and how it stops."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

pytest.importorskip("pty", reason="terminals as Unix has them")

from commanded import ROOT, SALTMEADOW, bare_boat
from terminals import PLAIN, Shown, in_terminal

import patterns
from patterns.cli.commands import COMMANDS, SHELLS

BAR = re.compile(r"\d/\d [^|\r\n]+\|[^|\r\n]*\| \d+ of \d+")
ASKED = 25  # lines at most, of a job without faults of its own
LITTLE_PAPER = ("--only", "stem")


@pytest.fixture(scope="module")
def lofted(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Shown]:
    """The sample lofted in a terminal of 80 columns."""
    out = tmp_path_factory.mktemp("terminal") / "out"
    return out, in_terminal("loft", SALTMEADOW, "--out", out, *LITTLE_PAPER)


@pytest.mark.slow
def test_a_job_is_told_in_a_screenful_in_the_order_a_builder_reads(lofted: tuple[Path, Shown]) -> None:
    out, shown = lofted
    assert shown.code == 0
    lines = [line for line in shown.lines if line]
    assert len(lines) <= ASKED
    assert max(map(len, lines)) <= 80
    order = [
        next(n for n, line in enumerate(lines) if line.startswith(word)) for word in ("Read", "WARN", "Made", "Next")
    ]
    assert order == sorted(order)
    assert str(out / "book.html") in " ".join(lines)


@pytest.mark.slow
def test_a_bar_counts_the_work_and_is_gone_at_the_end(lofted: tuple[Path, Shown]) -> None:
    _, shown = lofted
    bars = BAR.findall(shown.text)
    assert len(set(bars)) > 10
    counts = [tuple(map(int, re.findall(r"(\d+) of (\d+)", bar)[0])) for bar in bars]
    assert all(done < of for done, of in counts)
    assert not any("|" in line for line in shown.lines)


@pytest.mark.slow
def test_a_terminal_that_cannot_move_its_cursor_gets_plain_lines(tmp_path: Path) -> None:
    boat = bare_boat(tmp_path / "boat")
    shown = in_terminal("loft", boat, *LITTLE_PAPER, settings={"TERM": "dumb"})
    assert shown.code == 0
    assert b"\x1b" not in shown.raw
    assert b"\r" not in shown.raw.replace(b"\r\n", b"")
    lines = [line for line in shown.lines if line]
    assert any(line.endswith("Drawing the patterns ...") for line in lines)
    assert len(lines) <= ASKED


@pytest.mark.slow
def test_no_color_is_heeded(tmp_path: Path) -> None:
    shown = in_terminal("fair", bare_boat(tmp_path / "boat"), settings={"NO_COLOR": "1"})
    assert shown.code == 0
    assert not re.search(rb"\x1b\[[0-9;]*m", shown.raw)


@pytest.mark.slow
@pytest.mark.parametrize(("columns", "settings"), [(60, {}), (80, {"COLUMNS": "60"}), (200, {})])
def test_lines_are_as_wide_as_the_terminal_or_columns_says(
    columns: int, settings: dict[str, str], tmp_path: Path
) -> None:
    shown = in_terminal("fair", bare_boat(tmp_path / "boat"), size=(40, columns), settings=settings)
    widest = max(len(line) for line in shown.lines if str(tmp_path) not in line)
    wide = 100 if columns == 200 else 60
    assert wide - 15 < widest <= wide


@pytest.mark.slow
@pytest.mark.parametrize(
    "settings",
    [{"LC_ALL": "C"}, {"PYTHONIOENCODING": "ascii"}],
    ids=lambda one: "-".join(*one.items()),
)
def test_a_terminal_of_ascii_alone_gets_nothing_else(settings: dict[str, str], tmp_path: Path) -> None:
    boat = bare_boat(tmp_path / "boat")
    toml = boat / "boat.toml"
    toml.write_text(toml.read_text().replace('"Saltmeadow"', '"Möwe 45°"'), encoding="utf-8")
    shown = in_terminal("fair", boat, "--verbose", settings=settings)
    assert shown.code == 0
    assert shown.raw.isascii()
    assert "Mowe 45 deg" in shown.text
    assert "45 deg?" not in shown.text


@pytest.mark.slow
@pytest.mark.parametrize("quiet", [(), ("--quiet",)])
def test_warnings_go_to_standard_error_also_to_the_quiet(quiet: tuple[str, ...], tmp_path: Path) -> None:
    boat = bare_boat(tmp_path / "boat", "stock")
    shown = in_terminal("loft", boat, *LITTLE_PAPER, *quiet, errors_apart=True)
    assert shown.code == 0
    assert "WARNING" not in shown.text
    assert "WARNING material: not stated for transom ([transom] material)" in shown.errors
    assert 'Write each key, such as material = "marine plywood".' in " ".join(shown.errors.split())
    assert bool(shown.text) is not bool(quiet)


@pytest.mark.slow
def test_verbose_tells_every_detail(tmp_path: Path) -> None:
    boat = bare_boat(tmp_path / "boat", "inwale", "saw")
    shown = in_terminal("loft", boat, *LITTLE_PAPER, "--verbose")
    for detail in ("[printer] overlap = 12 mm", "sheer heights:", "Bench  inwale:"):
        assert detail in shown.text


@pytest.mark.slow
@pytest.mark.parametrize("when", ["Fairing", "Drawing", "on paper"])
def test_ctrl_c_leaves_one_line_and_no_debris(when: str, tmp_path: Path) -> None:
    boat = tmp_path / "boat"
    shutil.copytree(SALTMEADOW, boat, ignore=shutil.ignore_patterns("out", "lines"))
    before = sorted(tmp_path.rglob("*"))
    typed: list[float] = []

    def stop(run: subprocess.Popen[bytes], raw: bytes) -> None:
        if when.encode() in raw and not typed:
            typed.append(1)
            os.killpg(run.pid, 2)  # what the terminal does with Ctrl-C: to every process of the job

    shown = in_terminal("loft", boat, act=stop)
    assert typed
    assert shown.code == 130
    lines = [line for line in shown.lines if line]
    assert lines[-1] == "scrieve: stopped by Ctrl-C. No file is half written."
    assert not any("|" in line or "Traceback" in line for line in lines)
    assert sorted(tmp_path.rglob("*")) == before


@pytest.mark.parametrize("command", ["fair", "loft", "nest"])
def test_a_folder_that_cannot_be_written_is_refused_before_the_work(command: str, tmp_path: Path) -> None:
    boat = bare_boat(tmp_path / "boat", "stock")
    (tmp_path / "file").write_text("mine")
    places = {
        tmp_path / "file": f"{tmp_path}/file: found a file, expected a folder",
        Path("/proc/scrieve"): "/proc/scrieve: cannot be written",
        Path("/"): "/: found the top folder of a disk",
    }
    for out, told in places.items():
        shown = in_terminal(command, boat, "--out", out)
        assert shown.code == 1
        assert told in " ".join(shown.text.split())
        assert "Fairing" not in shown.text
        assert not BAR.search(shown.text)
    assert (tmp_path / "file").read_text() == "mine"


def test_bare_scrieve_shows_help_and_version_its_version() -> None:
    bare, asked = in_terminal(), in_terminal("--help")
    assert (bare.code, bare.text) == (0, asked.text)
    assert all(command.name in bare.text for command in COMMANDS)
    assert in_terminal("--version").text == f"scrieve {patterns.__version__}\n"
    said = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["version"]
    assert patterns.__version__ == said


@pytest.mark.parametrize("name", [command.name for command in COMMANDS])
def test_a_commands_help_has_an_example_that_its_parser_takes(name: str) -> None:
    from patterns.cli.main import whole_parser

    shown = in_terminal(name, "--help")
    assert shown.code == 0
    examples = [line.strip() for line in shown.text.partition("Examples:")[2].splitlines() if line.strip()]
    assert len(examples) >= 2
    for example in examples:
        words = example.partition(" > ")[0].split()
        assert words[:2] == ["scrieve", name]
        whole_parser().parse_args(words[1:])


def test_options_of_loft_stand_in_groups() -> None:
    text = in_terminal("loft", "--help").text
    headings = re.findall(r"(?m)^(\w[\w ]+):$", text)
    assert headings == [
        "positional arguments", "options", "which patterns are printed", "paper", "what is drawn", "in the terminal",
        "Examples",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["lof"], "scrieve: unknown command 'lof'; did you mean 'loft'?"),
        (
            ["xyzzy"],
            "scrieve: unknown command 'xyzzy', expected one of new, fair, loft, nest, stock, printer, completion",
        ),
        (["loft", "x", "--papr", "A4"], "scrieve loft: unknown option '--papr'; did you mean '--paper'?"),
        (["loft", "x", "--pap", "A4"], "scrieve loft: unknown option '--pap'; did you mean '--paper'?"),
        (["--versio"], "scrieve: unknown option '--versio'; did you mean '--version'?"),
        (["loft", "x", "y"], "scrieve loft: found 'y', expected nothing more"),
        (
            ["new", "x", "--units", "inches"],
            "scrieve new: --units: found 'inches', expected in, ft, mm, cm, m; did you mean 'in'?",
        ),
        (["loft", "x", "--quiet", "--verbose"], "scrieve loft: --verbose: not allowed with argument --quiet"),
    ],
)
def test_unknown_words_are_refused_in_two_lines_with_the_nearest_one(words: list[str], told: str) -> None:
    shown = in_terminal(*words)
    assert shown.code == 2
    first, second = shown.text.strip().split("\n")
    assert first == told
    assert re.fullmatch(r"See: scrieve( \w+)? --help", second)


def test_the_package_is_the_command() -> None:
    said = [
        subprocess.run([*run, "--version"], cwd=ROOT, env=PLAIN, capture_output=True, text=True, check=True).stdout
        for run in ([sys.executable, "-m", "patterns"], [sys.executable, "-m", "patterns.cli.main"])
    ]
    assert said[0] == said[1] == f"scrieve {patterns.__version__}\n"


def test_new_asks_only_what_no_option_says_and_asks_again_what_it_cannot_read(tmp_path: Path) -> None:
    answers = ["pyramid", "v", "in", "none", "5", "2-0-0", "outside", "water-line=0-7-4"]
    shown = in_terminal("new", tmp_path / "skiff", typed=answers)
    assert shown.code == 0, shown.text
    assert "found 'pyramid', expected one of 'flat', 'v'" in shown.text
    assert "found 'none', expected a whole number from 1 to 60" in shown.text
    toml = tomllib.loads((tmp_path / "skiff" / "boat.toml").read_text())
    assert toml["boat"]["lines_to"] == "outside of planking"
    assert toml["boat"]["heights_from"] == {"water_line": "0-7-4"}
    assert "from FP,,2-0-0,4-0-0,6-0-0,8-0-0,10-0-0,\n" in (tmp_path / "skiff" / "offsets.csv").read_text()
    rest = in_terminal(
        "new", tmp_path / "dory", "--hull", "dory", "--units", "mm", "--stations", "4", typed=["", "", ""]
    )
    assert rest.code == 0
    assert rest.text.count(": ") == 3 + rest.text.count("lines: ")


def test_ctrl_c_and_ctrl_d_at_a_question_write_nothing(tmp_path: Path) -> None:
    for key in ("\x03", "\x04"):
        shown = in_terminal("new", tmp_path / "skiff", typed=[key])
        assert shown.code == 130
        assert shown.lines[-2:] == ["scrieve: stopped by Ctrl-C. No file is half written.", ""]
        assert not (tmp_path / "skiff").exists()


def completed(shell_words: str, at: int) -> list[str]:
    """What bash offers for the word at a place of a line."""
    script = in_terminal("completion", "bash").text
    run = f'{script}\nCOMP_WORDS=({shell_words})\nCOMP_CWORD={at}\n_scrieve\nprintf "%s\\n" "${{COMPREPLY[@]}}"\n'
    done = subprocess.run(["bash", "-c", run], capture_output=True, text=True, check=True, cwd=ROOT)
    return done.stdout.split("\n")[:-1]


@pytest.mark.skipif(shutil.which("bash") is None, reason="needs bash")
def test_bash_completes_commands_options_words_and_folders() -> None:
    assert completed("scrieve l", 1) == ["loft"]
    assert completed("scrieve loft --pap", 2) == ["--paper"]
    assert completed("scrieve new x --hull mu", 4) == ["multi-chine"]
    assert completed("scrieve completion ''", 2) == list(SHELLS)
    assert "samples/saltmeadow" in completed("scrieve loft samples/s", 2)


@pytest.mark.parametrize("shell", SHELLS)
def test_each_shells_script_has_every_option_and_is_one_that_the_shell_reads(shell: str, tmp_path: Path) -> None:
    script = in_terminal("completion", shell).text
    for command in COMMANDS:
        flags = re.findall(r"--[a-z-]+", in_terminal(command.name, "--help").text.partition("\n\n")[0])
        named = [flag[2:] if shell == "fish" else flag for flag in flags]
        assert all(name in script for name in named), command.name
    if shutil.which(shell):
        file = tmp_path / "script"
        file.write_text(script)
        subprocess.run([shell, "-n", str(file)], check=True)
