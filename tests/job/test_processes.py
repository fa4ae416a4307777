"""Work shared out among processes comes back as if one had done it all."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import pytest

from patterns.errors import ShapeError
from patterns.job.processes import begun, in_processes

ROOT = Path(__file__).parents[2]
LINUX = pytest.mark.skipif(sys.platform != "linux", reason="elsewhere one process does it all")


@pytest.mark.parametrize("processes", [1, 2, 3, 8])
def test_what_is_made_and_its_order_are_the_same_however_many_processes(processes: int) -> None:
    assert in_processes(lambda n: n * n, range(100), processes=processes) == tuple(n * n for n in range(100))


def test_no_things_make_nothing() -> None:
    assert in_processes(lambda n: n, [], processes=2) == ()


@LINUX
def test_more_than_one_process_takes_part(tmp_path: Path) -> None:
    def meet(number: int) -> int:
        """Each waits until both are there, so that neither does the other's share."""
        (tmp_path / str(number)).touch()
        late = time.monotonic() + 60
        while len(list(tmp_path.iterdir())) < 2 and time.monotonic() < late:
            time.sleep(0.01)
        return os.getpid()

    assert len(set(in_processes(meet, range(2), processes=2))) == 2


@LINUX
def test_what_a_killed_process_had_is_made_all_the_same() -> None:
    own = os.getpid()

    def doomed(number: int) -> int:
        if os.getpid() != own:
            os.kill(os.getpid(), signal.SIGKILL)
        return -number

    assert in_processes(doomed, range(20), processes=3) == tuple(-n for n in range(20))


def test_what_cannot_be_handed_over_is_made_here() -> None:
    made = in_processes(lambda n: lambda: n, range(6), processes=2)
    assert [one() for one in made] == list(range(6))


@pytest.mark.parametrize("processes", [1, 2, 3])
def test_of_several_faults_the_first_is_raised(processes: int) -> None:
    def at_fault(number: int) -> int:
        if number % 3 == 1:
            raise ShapeError(f"number {number}")
        return number

    with pytest.raises(ShapeError, match=r"number 1$"):
        in_processes(at_fault, range(30), processes=processes)


def test_no_process_is_left_behind() -> None:
    in_processes(lambda n: n, range(10), processes=3)
    with pytest.raises(ChildProcessError):
        os.waitpid(-1, os.WNOHANG)


@pytest.mark.parametrize("cores", [1, 2])
@pytest.mark.parametrize("value", [7, None])
def test_work_begun_beside_gives_what_it_made_when_called(cores: int, value: int | None) -> None:
    with begun(lambda: (os.getpid(), value), cores=cores) as made:
        by, given = made()
    assert given == value
    assert (by == os.getpid()) == (cores == 1 or sys.platform != "linux")


@pytest.mark.parametrize("cores", [1, 2])
def test_a_fault_of_work_begun_beside_is_raised_where_it_is_called_for(cores: int) -> None:
    def at_fault() -> int:
        raise ShapeError("no wood")

    with begun(at_fault, cores=cores) as made, pytest.raises(ShapeError, match="no wood"):
        made()


@LINUX
def test_work_begun_and_not_called_for_leaves_no_process() -> None:
    with begun(lambda: time.sleep(60), cores=2):
        pass
    with pytest.raises(ChildProcessError):
        os.waitpid(-1, os.WNOHANG)


# Each process says its number in a file. One is still at work, one sleeps on a pipe nobody empties, one has a
# process of its own.
FAMILY = """
import os, sys, time
from pathlib import Path
from patterns.job.processes import begun, in_processes

def born():
    Path(sys.argv[1], str(os.getpid())).touch()

def long_work():
    born()
    time.sleep(600)

def much():
    born()
    return bytes(10_000_000)

def nested():
    born()
    return in_processes(lambda n: (born(), time.sleep(600)), range(8), processes=2)

with begun(long_work, cores=4), begun(much, cores=4), begun(nested, cores=4):
    time.sleep(600)
"""


def alive(number: int) -> bool:
    """Whether a process runs or sleeps; one that has ended may wait to be counted."""
    try:
        return Path(f"/proc/{number}/stat").read_text().rpartition(")")[2].split()[0] not in ("Z", "X")
    except (FileNotFoundError, ProcessLookupError):
        return False


def within(seconds: float, held: Callable[[], bool]) -> bool:
    late = time.monotonic() + seconds
    while not held() and time.monotonic() < late:
        time.sleep(0.01)
    return held()


@LINUX
@pytest.mark.parametrize("killed_by", [signal.SIGKILL, signal.SIGTERM, signal.SIGHUP])
def test_however_a_command_is_killed_its_processes_end_and_let_go_of_the_callers_pipe(
    killed_by: signal.Signals, tmp_path: Path
) -> None:
    words = [sys.executable, "-c", FAMILY, str(tmp_path)]
    with subprocess.Popen(words, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT) as run:
        assert run.stdout is not None
        assert within(60, lambda: len(list(tmp_path.iterdir())) == 4)
        time.sleep(0.1)  # the one with much to hand over fills its pipe
        family = [int(path.name) for path in tmp_path.iterdir()]
        assert all(alive(number) for number in family)
        run.send_signal(killed_by)
        assert run.wait(10) == -killed_by
        gone = within(10, lambda: not any(alive(number) for number in family))
        left = [number for number in family if alive(number)]
        for number in left:
            os.kill(number, signal.SIGKILL)
        assert gone, f"{len(left)} of {len(family)} processes outlived the command"
        assert run.stdout.read() == b""  # ends only when nobody holds the pipe


@LINUX
def test_a_process_whose_command_has_ended_before_it_could_ask_for_the_signal_does_no_work(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(os, "getppid", lambda: 1)
    with begun(os.getpid, cores=2) as made:
        assert made() == os.getpid()


def reading_ends() -> set[int]:
    """The pipes this process can read from."""
    ends = set()
    for link in Path("/proc/self/fd").iterdir():
        with suppress(OSError):
            flags = Path("/proc/self/fdinfo", link.name).read_text().partition("flags:")[2].split()[0]
            if os.readlink(link).startswith("pipe:") and int(flags, 8) & os.O_ACCMODE == os.O_RDONLY:
                ends.add(int(link.name))
    return ends


@LINUX
def test_a_process_keeps_no_reading_end_of_any_pipe_that_results_come_back_by() -> None:
    before = reading_ends()
    with begun(lambda: None, cores=2), begun(reading_ends, cores=2) as made:
        assert reading_ends() > before
        assert made() <= before
