"""A job's folder: whole before, whole after, and the builder's own files left alone."""

from __future__ import annotations

import errno
import hashlib
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from killed import everything_in, killed_at, steps_of

from patterns.errors import PatternsError
from patterns.writing.folder import folder_plan, folder_swap
from patterns.writing.folder import job_folder as folder_module
from patterns.writing.folder.folder_list import LIST
from patterns.writing.folder.folder_plan import Kept
from patterns.writing.folder.job_folder import job_folder, write_folder

OLD = {"book.html": "old", "svg/side-panel.svg": "old panel", "svg/tiles/side-panel-A1.svg": b"old tile"}
NEW = {"book.html": "new", "svg/side-panel.svg": "new panel", "router/frame-3.dxf": b"new frame"}
ROOT = Path(__file__).parents[2]
MOST_KILLS = 60  # of one kind of run, spread evenly over its steps; bench_kills.py kills at every step
POSIX = pytest.mark.skipif(not hasattr(os, "fork"), reason="processes are split to be killed")


def held(out: Path) -> dict[str, bytes]:
    """Everything in a folder but this program's list."""
    return {
        path.relative_to(out).as_posix(): path.read_bytes()
        for path in sorted(out.rglob("*"))
        if path.is_file() and path.name != LIST
    }


def as_bytes(files: dict[str, str | bytes]) -> dict[str, bytes]:
    return {name: text.encode() if isinstance(text, str) else text for name, text in sorted(files.items())}


def listed(out: Path) -> list[str]:
    lines = (out / LIST).read_text(encoding="utf-8").splitlines()
    return [line.partition("  ")[2] for line in lines if not line.startswith("#")]


def two_renames(monkeypatch: pytest.MonkeyPatch) -> None:
    """As where the system cannot exchange two folders in one step."""
    monkeypatch.setattr(folder_swap, "_exchanged", lambda one, other: False)


@pytest.fixture(params=["one step", "two renames"])
def both_ways(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    if request.param == "two renames":
        two_renames(monkeypatch)
    return str(request.param)


def test_files_are_written_and_listed(tmp_path: Path) -> None:
    write_folder(tmp_path / "deep" / "out", OLD)
    assert held(tmp_path / "deep" / "out") == as_bytes(OLD)
    assert listed(tmp_path / "deep" / "out") == sorted(OLD)
    assert [path.name for path in (tmp_path / "deep").iterdir()] == ["out"]


def test_a_new_job_takes_the_place_of_the_old_one(tmp_path: Path, both_ways: str) -> None:
    write_folder(tmp_path / "out", OLD)
    write_folder(tmp_path / "out", NEW)
    assert held(tmp_path / "out") == as_bytes(NEW)
    assert not (tmp_path / "out" / "svg" / "tiles").exists()
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_the_builders_own_files_are_left_alone(tmp_path: Path, both_ways: str) -> None:
    out = tmp_path / "out"
    write_folder(out, OLD)
    (out / "svg" / "notes.txt").write_text("mine")
    (out / "photos").mkdir()
    write_folder(out, NEW)
    assert held(out) == as_bytes({**NEW, "svg/notes.txt": "mine"})
    assert (out / "photos").is_dir()
    assert not (out / "svg" / "tiles").exists()
    assert listed(out) == sorted(NEW)
    write_folder(out, OLD)
    assert held(out) == as_bytes({**OLD, "svg/notes.txt": "mine"})


def test_a_file_of_the_builders_is_never_overwritten(tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "book.html").write_text("mine")
    with pytest.raises(PatternsError, match="is not of scrieve's making and would be overwritten"):
        write_folder(out, NEW)
    assert held(out) == {"book.html": b"mine"}


def test_a_file_where_the_folder_should_be_is_refused(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("a file")
    with pytest.raises(PatternsError, match="found a file, expected a folder for the job"):
        write_folder(tmp_path / "out", NEW)
    with pytest.raises(PatternsError, match="cannot be written"):
        write_folder(tmp_path / "out" / "below", NEW)


def test_a_path_outside_the_folder_is_a_bug(tmp_path: Path) -> None:
    for name in ("../book.html", "/book.html", ""):
        with pytest.raises(ValueError, match="not a path within"):
            write_folder(tmp_path / "out", {name: ""})


def test_a_file_may_have_any_name_that_is_one_line(tmp_path: Path) -> None:
    names = ["side panel.svg", " spaced .svg", "é\u00a0\u2028\x85\x0c.svg", "# not a remark", "штевень/Ω.svg", "#/ a"]
    job = {name: f"job of {name}" for name in names}
    for _ in range(2):
        assert write_folder(tmp_path / "out", job).kept == ()
        assert held(tmp_path / "out") == as_bytes({**job})
    write_folder(tmp_path / "out", NEW)
    assert held(tmp_path / "out") == as_bytes(NEW)


def test_a_failing_write_leaves_the_old_job(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_folder(out, OLD)
    with pytest.raises(PatternsError, match="cannot be written"):
        write_folder(out, {**NEW, "book.html/inside-a-file": "x"})
    assert held(out) == as_bytes(OLD)
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def builder_adds(out: Path, apart: Path) -> None:
    """Files of every kind, in places of the builder's and among the program's."""
    (out / "svg").mkdir(parents=True, exist_ok=True)
    (out / "notes é.txt").write_text("mine")
    (out / "svg" / "my panel.svg").write_text("my own")
    (out / "photos" / "bow").mkdir(parents=True)
    (out / "photos" / "bow" / "1.jpg").write_bytes(bytes(5000))
    (out / "empty").mkdir()
    (out / "plan").symlink_to(apart)
    (out / "gone").symlink_to("nowhere")
    apart.mkdir(exist_ok=True)
    (apart / "plan.txt").write_text("elsewhere")


def whole(out: Path) -> dict[str, bytes | str | None]:
    """What is in a folder, without the folders that are only there for files."""
    found = everything_in(out)
    return {
        name: content
        for name, content in found.items()
        if name != LIST and (content is not None or not any(other.startswith(f"{name}/") for other in found))
    }


@pytest.mark.slow
@POSIX
def test_killed_at_any_step_the_folder_holds_the_old_job_or_the_new_one_and_all_of_the_builders(
    tmp_path: Path, both_ways: str
) -> None:
    beside, apart = tmp_path / "jobs of mine", tmp_path / "apart"
    out = beside / "out é"
    builder_adds(out, apart)
    write_folder(out, OLD)
    before = whole(out)
    numbers = {name: (out / name).stat().st_ino for name in ("notes é.txt", "photos/bow/1.jpg")}
    own = {name: content for name, content in before.items() if name not in OLD}
    assert before == as_bytes(OLD) | own
    assert len(own) == 6
    after = own | as_bytes(NEW)

    def work() -> None:
        write_folder(out, NEW)

    steps = steps_of(work)
    assert whole(out) == after
    write_folder(out, OLD)
    assert steps > 200
    seen = set()
    for step in range(0, steps, 1 + steps // MOST_KILLS):
        assert killed_at(step, work)
        if both_ways == "two renames" and not out.exists():
            assert whole(beside / f".{out.name}.scrieve-old") == before
            seen.add("set aside")
        else:
            assert whole(out) in (before, after), step
            seen.add("old" if whole(out) == before else "new")
        write_folder(out, OLD)
        assert whole(out) == before, step
        assert [path.name for path in beside.iterdir()] == [out.name], step
    assert seen >= {"old", "new"}
    assert numbers == {name: (out / name).stat().st_ino for name in numbers}
    assert everything_in(apart) == {"plan.txt": b"elsewhere"}


@pytest.mark.slow
@POSIX
@pytest.mark.parametrize("job", [OLD, {}])
def test_killed_at_any_step_of_a_first_job_there_is_no_folder_or_the_whole_job(
    tmp_path: Path, job: dict[str, str | bytes]
) -> None:
    out = tmp_path / "deep" / "out"
    steps = steps_of(lambda: write_folder(out, job))
    shutil.rmtree(tmp_path / "deep")
    for step in range(0, steps, 1 + steps // MOST_KILLS):
        assert killed_at(step, lambda: write_folder(out, job))
        assert not out.exists() or held(out) == as_bytes(job)
        write_folder(out, NEW)
        assert held(out) == as_bytes(NEW)
        assert [path.name for path in out.parent.iterdir()] == ["out"]
        shutil.rmtree(tmp_path / "deep")


def test_a_failing_exchange_leaves_the_old_job(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, both_ways: str) -> None:
    out = tmp_path / "out"
    write_folder(out, OLD)
    (out / "mine.txt").write_text("mine")

    really = os.rename

    def full(source: Path, target: Path) -> None:
        if ".scrieve-new" in str(source):
            raise OSError(errno.ENOSPC, "No space left on device")
        really(source, target)

    two_renames(monkeypatch)
    monkeypatch.setattr(os, "rename", full)
    with pytest.raises(PatternsError, match="No space left on device"):
        write_folder(out, NEW)
    assert held(out) == as_bytes({**OLD, "mine.txt": "mine"})
    assert listed(out) == sorted(OLD)
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_ctrl_c_between_the_two_renames_puts_the_old_job_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    out = tmp_path / "out"
    write_folder(out, OLD)
    really = os.rename

    def stopped(source: Path, target: Path) -> None:
        if ".scrieve-new" in str(source):
            raise KeyboardInterrupt
        really(source, target)

    two_renames(monkeypatch)
    monkeypatch.setattr(os, "rename", stopped)
    with pytest.raises(KeyboardInterrupt):
        write_folder(out, NEW)
    assert held(out) == as_bytes(OLD)
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_a_run_killed_between_the_two_renames_is_put_right_even_by_a_run_that_fails(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_folder(out, OLD)
    out.rename(tmp_path / ".out.scrieve-old")
    with pytest.raises(PatternsError):
        write_folder(out, {"book.html": "", "book.html/x": ""})
    assert held(out) == as_bytes(OLD)


def test_what_a_killed_run_left_goes_at_once_however_fresh_it_is(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_folder(out, OLD)
    left = tmp_path / ".out.scrieve-new-1"
    left.mkdir()
    (left / folder_swap.UNREADY).touch()
    (left / "book.html").write_text("half wri")
    (tmp_path / ".out.scrieve-lock").write_text("1")
    (tmp_path / ".outer.scrieve-new-1").mkdir()
    with job_folder(out):
        assert not left.exists()
    assert sorted(path.name for path in tmp_path.iterdir()) == [".outer.scrieve-new-1", "out"]


def while_writing(monkeypatch: pytest.MonkeyPatch, meanwhile: Callable[[], object]) -> None:
    """The builder does something just before the folders change places."""
    really = folder_module.exchange

    def exchange(fresh: Path, out: Path) -> None:
        meanwhile()
        really(fresh, out)

    monkeypatch.setattr(folder_module, "exchange", exchange)


def test_what_the_builder_does_while_a_job_is_written_is_not_lost(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, both_ways: str
) -> None:
    out = tmp_path / "out"
    write_folder(out, OLD)
    (out / "notes.txt").write_text("first")
    (out / "more.txt").write_text("first")

    def meanwhile() -> None:
        (out / "just made.txt").write_text("new of mine")
        (out / "more.txt").write_text("written on")
        (out / "notes.txt.part").write_text("saved anew")
        os.replace(out / "notes.txt.part", out / "notes.txt")
        (out / "book.html").write_text("scribbled in")

    while_writing(monkeypatch, meanwhile)
    write_folder(out, NEW)
    own = {"just made.txt": "new of mine", "more.txt": "written on", "notes.txt": "saved anew"}
    assert held(out) == as_bytes({**NEW, **own, "book-yours.html": "scribbled in"})
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_without_links_the_builders_files_are_copied(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, both_ways: str
) -> None:
    def no_links(*_: object, **__: object) -> None:
        raise OSError(errno.EPERM, "Operation not permitted")

    out = tmp_path / "out"
    write_folder(out, OLD)
    (out / "mine.txt").write_text("mine")
    os.utime(out / "mine.txt", (1e9, 1e9))
    monkeypatch.setattr(os, "link", no_links)
    while_writing(monkeypatch, lambda: (out / "late.txt").write_text("late"))
    write_folder(out, NEW)
    assert held(out) == as_bytes({**NEW, "mine.txt": "mine", "late.txt": "late"})
    assert (out / "mine.txt").stat().st_mtime == 1e9
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_a_file_changed_since_it_was_written_is_kept_and_the_new_one_goes_beside_it(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_folder(out, OLD)
    (out / "book.html").write_text("my remarks")
    (out / "svg" / "tiles" / "side-panel-A1.svg").write_text("coloured in")
    written = write_folder(out, NEW)
    assert written.kept == (
        Kept("book.html", used=False, instead="book-new.html"),
        Kept("svg/tiles/side-panel-A1.svg", used=False, instead=""),
    )
    assert set(written.names) == {"book-new.html", "svg/side-panel.svg", "router/frame-3.dxf"}
    mine: dict[str, str | bytes] = {"book.html": "my remarks", "svg/tiles/side-panel-A1.svg": "coloured in"}
    assert held(out) == as_bytes({**NEW, "book-new.html": "new", **mine})
    # A later job knows it still, and writes over what nobody changed.
    written = write_folder(out, {"book.html": "newer"})
    assert written.kept[0] == Kept("book.html", used=False, instead="book-new.html")
    assert held(out) == as_bytes({**mine, "book-new.html": "newer"})


def test_a_new_file_beside_a_changed_one_may_be_changed_too(tmp_path: Path) -> None:
    out = tmp_path / "out"
    for number in (1, 2, 3):
        write_folder(out, {"book.html": f"job {number}"})
        (out / ["book.html", "book-new.html", "book-new-2.html"][number - 1]).write_text(f"mine {number}")
    mine = {"book.html": "mine 1", "book-new.html": "mine 2", "book-new-2.html": "mine 3"}
    assert held(out) == as_bytes({**mine})
    written = write_folder(out, {"book.html": "job 4"})
    assert Kept("book.html", used=False, instead="book-new-3.html") in written.kept
    assert held(out) == as_bytes({**mine, "book-new-3.html": "job 4"})


def test_a_changed_file_moved_away_or_changed_back_is_written_again(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_folder(out, OLD)
    (out / "book.html").write_text("my remarks")
    write_folder(out, NEW)
    (out / "book.html").rename(tmp_path / "mine.html")
    written = write_folder(out, NEW)
    assert written.kept == ()
    assert held(out) == as_bytes(NEW)
    (out / "book.html").write_text("my remarks")
    write_folder(out, NEW)
    (out / "book.html").write_text("new")
    assert write_folder(out, OLD).kept == ()
    assert held(out) == as_bytes(OLD)


def test_a_file_put_in_place_of_a_link_or_a_folder_is_kept(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_folder(out, OLD)
    (tmp_path / "mine.html").write_text("old")
    (out / "book.html").unlink()
    (out / "book.html").symlink_to(tmp_path / "mine.html")
    (out / "svg" / "side-panel.svg").unlink()
    (out / "svg" / "side-panel.svg").mkdir()
    (out / "svg" / "side-panel.svg" / "a").write_text("mine")
    write_folder(out, NEW)
    assert os.readlink(out / "book.html") == str(tmp_path / "mine.html")
    assert (tmp_path / "mine.html").read_text() == "old"
    assert (out / "book-new.html").read_text() == "new"
    assert (out / "svg" / "side-panel.svg" / "a").read_text() == "mine"
    assert (out / "svg" / "side-panel-new.svg").read_text() == "new panel"


def test_a_file_the_command_has_read_is_kept_though_nobody_changed_it(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_folder(out, {"offsets-faired.csv": "once", "offsets-eased.csv": "eased"})
    used = [out / "offsets-faired.csv", tmp_path / "link.csv", tmp_path / "not there"]
    (tmp_path / "link.csv").symlink_to(out / "offsets-eased.csv")
    written = write_folder(out, {"offsets-faired.csv": "twice"}, used=used)
    assert written.kept == (
        Kept("offsets-faired.csv", used=True, instead="offsets-faired-new.csv"),
        Kept("offsets-eased.csv", used=True, instead=""),
    )
    kept: dict[str, str | bytes] = {"offsets-faired.csv": "once", "offsets-eased.csv": "eased"}
    assert held(out) == as_bytes({**kept, "offsets-faired-new.csv": "twice"})
    # The same again leaves nothing to keep; used no more, it is this program's to write over.
    assert write_folder(out, {"offsets-faired.csv": "once"}, used=used[:1]).kept == ()
    write_folder(out, {"offsets-faired.csv": "thrice"})
    assert held(out) == {"offsets-faired.csv": b"thrice"}


@pytest.mark.parametrize(
    ("damage", "found"),
    [
        (lambda text: b"", "a list without its last line"),
        (lambda text: text[: len(text) // 2], "a list without its last line"),
        (lambda text: b"\xff\x00" + text, "something other than UTF-8 text"),
        (lambda text: text.replace(b"book.html", b"notes.txt"), "a list that was changed after it was written"),
        (lambda text: b"book.html\nsvg/side-panel.svg\n", "a list without its last line"),
        (lambda text: text.replace(b"# end", b"junk\n# end"), "a list that was changed after it was written"),
    ],
)
def test_a_damaged_list_is_refused_and_nothing_is_touched(
    damage: Callable[[bytes], bytes], found: str, tmp_path: Path
) -> None:
    out = tmp_path / "out"
    write_folder(out, OLD)
    (out / "notes.txt").write_text("mine")
    (out / LIST).write_bytes(damage((out / LIST).read_bytes()))
    before = everything_in(tmp_path)
    with pytest.raises(PatternsError) as refused:
        write_folder(out, NEW)
    assert str(refused.value) == (
        f"{out / LIST}: found {found}, expected the list of the files that scrieve made in this folder. Without the "
        f"list, your own files cannot be told from those of scrieve. Move {out} away, or name another folder with "
        "--out."
    )
    assert everything_in(tmp_path) == before


def test_a_folder_or_a_link_to_nothing_in_place_of_the_list_is_refused(tmp_path: Path) -> None:
    for number, make in enumerate((Path.mkdir, lambda path: path.symlink_to("nowhere"))):
        out = tmp_path / str(number)
        write_folder(out, OLD)
        (out / LIST).unlink()
        make(out / LIST)
        with pytest.raises(PatternsError, match="found what cannot be read"):
            write_folder(out, NEW)
        assert held(out) == as_bytes(OLD)


def test_the_list_is_what_sha256sum_reads_and_an_editors_line_ends_do_not_damage_it(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_folder(out, OLD)
    text = (out / LIST).read_text(encoding="utf-8")
    assert f"{hashlib.sha256(b'old panel').hexdigest()}  svg/side-panel.svg\n" in text
    (out / LIST).write_text(text.replace("\n", "\r\n"), newline="", encoding="utf-8")
    write_folder(out, NEW)
    assert held(out) == as_bytes(NEW)


HOLDER = """
import sys, time
from pathlib import Path
from patterns.writing.folder.job_folder import job_folder
with job_folder(Path(sys.argv[1])) as folder:
    print("held", flush=True)
    sys.stdin.read()
    folder.write({"book.html": "of the other run"})
"""


def test_a_second_run_into_one_folder_is_refused_in_plain_words(tmp_path: Path) -> None:
    out = tmp_path / "out"
    words = [sys.executable, "-c", HOLDER, str(out)]
    with subprocess.Popen(words, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as run:
        assert run.stdout is not None
        assert run.stdin is not None
        assert run.stdout.readline() == "held\n"
        with pytest.raises(PatternsError) as refused:
            write_folder(out, NEW)
        assert str(refused.value) == (
            f"{out}: another run of scrieve (process {run.pid}) is making a job in this folder. Wait until it has "
            "ended, or name another folder with --out."
        )
        run.stdin.close()
        assert run.wait(60) == 0
    assert held(out) == {"book.html": b"of the other run"}
    write_folder(out, NEW)
    assert held(out) == as_bytes(NEW)
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_many_runs_at_once_leave_one_job_whole_and_nothing_unlisted(tmp_path: Path) -> None:
    out = tmp_path / "out"
    code = (
        "import sys; from pathlib import Path; from patterns.errors import PatternsError\n"
        "from patterns.writing.folder.job_folder import write_folder\n"
        "out, number, wrote = Path(sys.argv[1]), sys.argv[2], 0\n"
        "sys.stdin.read()\n"
        "for _ in range(40):\n"
        "    try:\n"
        "        write_folder(out, {f'{number}/{n}': number for n in range(5)} | {'all': number}); wrote += 1\n"
        "    except PatternsError as error:\n"
        "        assert 'another run of scrieve' in str(error), error\n"
        "print(wrote)"
    )
    runs = [
        subprocess.Popen(
            [sys.executable, "-c", code, str(out), str(number)],
            cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        )
        for number in range(3)
    ]  # fmt: skip
    for run in runs:
        assert run.stdin is not None
        run.stdin.close()
        run.stdin = None
    told = [run.communicate(timeout=120) for run in runs]
    assert [error for _, error in told] == ["", "", ""]
    assert sum(int(words) for words, _ in told) > 0
    last = (out / "all").read_text()
    assert held(out) == as_bytes({"all": last} | {f"{last}/{n}": last for n in range(5)})
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


@POSIX
def test_a_killed_run_holds_the_folder_no_longer_though_a_process_it_began_lives(tmp_path: Path) -> None:
    out = tmp_path / "out"
    code = (
        "import os, signal, sys, time; from pathlib import Path\n"
        "from patterns.writing.folder.job_folder import job_folder\n"
        "with job_folder(Path(sys.argv[1])):\n"
        "    if os.fork() == 0:\n"
        "        print(os.getpid(), flush=True); os.close(1); time.sleep(60); os._exit(0)\n"
        "    sys.stdin.read(); os.kill(os.getpid(), signal.SIGKILL)"
    )
    words = [sys.executable, "-c", code, str(out)]
    with subprocess.Popen(words, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as run:
        assert run.stdout is not None
        assert run.stdin is not None
        child = int(run.stdout.readline())
        run.stdin.close()
        run.wait(60)
        try:
            write_folder(out, NEW)
        finally:
            os.kill(child, 9)
    assert held(out) == as_bytes(NEW)
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_a_link_to_a_folder_stays_a_link(tmp_path: Path) -> None:
    write_folder(tmp_path / "really" / "here", OLD)
    (tmp_path / "out").symlink_to(tmp_path / "really" / "here")
    write_folder(tmp_path / "out", NEW)
    assert (tmp_path / "out").is_symlink()
    assert held(tmp_path / "really" / "here") == as_bytes(NEW)
    (tmp_path / "round").symlink_to("round")
    with pytest.raises(PatternsError, match="expected a folder for the job"):
        write_folder(tmp_path / "round", NEW)


def test_a_link_where_a_new_file_needs_a_folder_is_refused(tmp_path: Path) -> None:
    out, apart = tmp_path / "out", tmp_path / "apart"
    write_folder(out, {"book.html": "old"})
    apart.mkdir()
    (out / "svg").symlink_to(apart)
    with pytest.raises(PatternsError, match=f"{out}/svg: is not of scrieve's making"):
        write_folder(out, NEW)
    assert held(out) == {"book.html": b"old"}
    assert list(apart.iterdir()) == []


def test_a_run_that_fails_leaves_no_folders_it_made(tmp_path: Path) -> None:
    with job_folder(tmp_path / "a" / "b" / "out"):
        assert (tmp_path / "a" / "b").is_dir()
    assert list(tmp_path.iterdir()) == []


def test_a_disks_top_folder_is_refused_with_what_to_do() -> None:
    with pytest.raises(PatternsError, match=r"top folder of a disk, .* Name a folder in it with --out, such as /job"):
        write_folder(Path("/"), NEW)


def test_a_folder_of_too_many_files_or_with_another_disk_in_it_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "out"
    write_folder(out, OLD)
    (out / "stick").mkdir()
    monkeypatch.setattr(os.path, "ismount", lambda path: Path(path).name == "stick")
    with pytest.raises(PatternsError, match="another disk at stick in it, expected a folder for a job"):
        write_folder(out, NEW)
    monkeypatch.undo()
    monkeypatch.setattr(folder_plan, "MOST_OWN", 2)
    with pytest.raises(PatternsError, match="more than 2 files in it"):
        write_folder(out, NEW)
    assert held(out) == as_bytes(OLD)


@POSIX
def test_a_folder_that_may_not_be_written_is_refused(tmp_path: Path) -> None:
    """As a user who may write everywhere but there."""
    tmp_path.chmod(0o755)
    for parent in list(tmp_path.parents)[:2]:
        parent.chmod(0o755)
    shut, out = tmp_path / "shut", tmp_path / "open" / "out"
    shut.mkdir(mode=0o555)
    write_folder(out, OLD)
    out.chmod(0o555)
    code = (
        "import os, sys; from pathlib import Path; from patterns.errors import PatternsError\n"
        "from patterns.writing.folder.job_folder import write_folder\n"
        "os.getuid() or os.setuid(65534)\n"
        "for place in sys.argv[1:]:\n"
        "    try: write_folder(Path(place), {'book.html': 'new'})\n"
        "    except PatternsError as error: print(error)\n"
    )
    words = [sys.executable, "-c", code, str(shut / "job"), str(out)]
    done = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.stderr == ""
    first, second = done.stdout.splitlines()
    assert f"{shut / 'job'}: cannot be written (Permission denied). Make it a folder that you may write in" in first
    assert f"{out}: cannot be written (Permission denied). Make it a folder that you may write in" in second
    assert held(out) == as_bytes(OLD)


def test_folders_keep_what_their_owner_allows(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_folder(out, OLD)
    (out / "photos").mkdir()
    (out / "photos" / "1.jpg").write_text("bow")
    (out / "photos").chmod(0o555)
    (out / "svg").chmod(0o700)
    out.chmod(0o750)
    os.utime(out / "photos", (1e9, 1e9))
    for job in (NEW, OLD):
        write_folder(out, job)
        assert [path.stat().st_mode & 0o777 for path in (out, out / "svg", out / "photos")] == [0o750, 0o700, 0o555]
        assert (out / "photos").stat().st_mtime == 1e9
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_a_terminal_standing_in_the_folder_is_told_and_the_run_goes_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "out"
    write_folder(out, OLD)
    monkeypatch.chdir(out)
    with job_folder(Path("../out")) as folder:
        assert folder.stood_in
        folder.write(NEW)
    assert Path.cwd() == out
    assert sorted(path.name for path in Path.cwd().iterdir()) == sorted([LIST, "book.html", "svg", "router"])
    monkeypatch.chdir(tmp_path)
    with job_folder(out) as folder:
        assert not folder.stood_in


def test_a_terminal_in_a_folder_that_is_gone_is_told_what_to_do(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "gone").mkdir()
    monkeypatch.chdir(tmp_path / "gone")
    (tmp_path / "gone").rmdir()
    with pytest.raises(PatternsError, match=r'the folder that this terminal stands in is gone.*cd "\$PWD"'):
        write_folder(Path("out"), NEW)
    write_folder(tmp_path / "out", NEW)
    assert held(tmp_path / "out") == as_bytes(NEW)
