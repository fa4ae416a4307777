"""Work shared out among processes comes back as if one had done it all."""

import os
import signal
import sys
import time
from pathlib import Path

import pytest
from commanded import bare_boat

from patterns.cli import hands as hands_module
from patterns.cli.hands import begun, by_many_hands
from patterns.cli.main import main
from patterns.errors import ShapeError

LINUX = pytest.mark.skipif(sys.platform != "linux", reason="elsewhere one process does it all")


@pytest.mark.parametrize("hands", [1, 2, 3, 8])
def test_what_is_made_and_its_order_are_the_same_however_many_hands(hands: int) -> None:
    assert by_many_hands(lambda n: n * n, range(100), hands=hands) == tuple(n * n for n in range(100))


def test_no_things_make_nothing() -> None:
    assert by_many_hands(lambda n: n, [], hands=2) == ()


@LINUX
def test_more_than_one_process_takes_part(tmp_path: Path) -> None:
    def meet(number: int) -> int:
        """Each waits until both are there, so that neither does the other's share."""
        (tmp_path / str(number)).touch()
        late = time.monotonic() + 60
        while len(list(tmp_path.iterdir())) < 2 and time.monotonic() < late:
            time.sleep(0.01)
        return os.getpid()

    assert len(set(by_many_hands(meet, range(2), hands=2))) == 2


@LINUX
def test_what_a_killed_process_had_is_made_all_the_same() -> None:
    own = os.getpid()

    def doomed(number: int) -> int:
        if os.getpid() != own:
            os.kill(os.getpid(), signal.SIGKILL)
        return -number

    assert by_many_hands(doomed, range(20), hands=3) == tuple(-n for n in range(20))


def test_what_cannot_be_handed_over_is_made_here() -> None:
    made = by_many_hands(lambda n: lambda: n, range(6), hands=2)
    assert [one() for one in made] == list(range(6))


@pytest.mark.parametrize("hands", [1, 2, 3])
def test_of_several_faults_the_first_is_raised(hands: int) -> None:
    def at_fault(number: int) -> int:
        if number % 3 == 1:
            raise ShapeError(f"number {number}")
        return number

    with pytest.raises(ShapeError, match=r"number 1$"):
        by_many_hands(at_fault, range(30), hands=hands)


def test_no_process_is_left_behind() -> None:
    by_many_hands(lambda n: n, range(10), hands=3)
    with pytest.raises(ChildProcessError):
        os.waitpid(-1, os.WNOHANG)


@pytest.mark.parametrize("cores", [1, 2])
def test_work_begun_beside_gives_what_it_made_and_what_it_said_when_called(
    cores: int, capsys: pytest.CaptureFixture[str]
) -> None:
    def work() -> int:
        print("seven planks")
        return 7

    with begun(work, cores=cores) as made:
        print("first")
        assert made() == 7
    assert capsys.readouterr().out == "first\nseven planks\n"


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


@LINUX
def test_a_job_is_the_same_byte_for_byte_whether_one_core_makes_it_or_three(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    boat = bare_boat(tmp_path / "boat")
    jobs = []
    for cores in (1, 3):
        monkeypatch.setattr(hands_module, "_cores", lambda cores=cores: cores)
        out = tmp_path / "cores" / str(cores) / "job"
        assert main(["loft", str(boat), "--out", str(out), "--date", "2026-11-25"]) == 0
        jobs.append({file.relative_to(out): file.read_bytes() for file in out.rglob("*") if file.is_file()})
    assert len(jobs[0]) > 20
    assert jobs[0] == jobs[1]
