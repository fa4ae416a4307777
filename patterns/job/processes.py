"""Work shared out among as many processes as there are cores to run them.

A process ends with the one that began it, however that one ends: Linux kills it then (`_end_with`). It also keeps no
reading end of any pipe that results come back by. So where nobody reads any more, it cannot sleep on a full pipe and
hold open what it inherited, such as the pipe a caller reads this program's words from.
"""

from __future__ import annotations

import ctypes
import os
import pickle
import signal
import struct
import sys
import warnings
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import ExitStack, contextmanager, suppress
from contextvars import ContextVar
from functools import partial
from typing import Generic, TypeVar

Thing = TypeVar("Thing")
Made = TypeVar("Made")

MOST_PROCESSES = 4  # each holds what it makes until it hands it over, some tens of MB
NUMBER = struct.Struct("<H")  # of a thing in the row, as it stands in the queue
QUEUE_TAKES = 4096  # bytes; a Linux pipe takes sixteen times as many before somebody must read
PR_SET_PDEATHSIG = 1  # of Linux's prctl: the signal a process gets when the one that began it ends

_watcher: ContextVar[Callable[[int, int], None] | None] = ContextVar("watcher", default=None)
_reading: set[int] = set()  # pipes this process reads results from; a process begun by it closes them


def in_processes(
    work: Callable[[Thing], Made], things: Sequence[Thing], *, processes: int | None = None
) -> tuple[Made, ...]:
    """``tuple(work(thing) for thing in things)``, shared out.

    A process that is free takes the next thing. What is made is the same, in the same order, however many processes
    there are: work must depend on its thing alone, print nothing, and give what can be pickled. What a process that
    fails or is killed did not hand over is made here, and raises here what it raised there.

    Parameters
    ----------
    processes : int, optional
        How many, this one among them; where not given, one for each core this process may use.
    """
    count = min(_cores() if processes is None else processes, len(things))
    if count < 2 or len(things) * NUMBER.size > QUEUE_TAKES:
        made_here = []
        for number, thing in enumerate(things):
            _tell(number, len(things))
            made_here.append(work(thing))
        return tuple(made_here)
    queue, feed = os.pipe()
    os.write(feed, b"".join(map(NUMBER.pack, range(len(things)))))
    os.close(feed)
    made: dict[int, Made] = {}
    with ExitStack() as until_done:
        until_done.callback(os.close, queue)
        share = partial(_made_of_queue, work, things, queue)
        others = [until_done.enter_context(_process_for(share)) for _ in range(count - 1)]
        # Of several faults the first shall be raised, as if one had done it all: it is found again below.
        with suppress(Exception):
            made = share()
            for other in others:
                made |= other.handed_over() or {}
    return tuple(made[number] if number in made else work(thing) for number, thing in enumerate(things))


@contextmanager
def watched(hear: Callable[[int, int], None]) -> Iterator[None]:
    """Have `in_processes` tell of each thing that work begins on, by how many went before it and how many there are."""
    before = _watcher.set(hear)
    try:
        yield
    finally:
        _watcher.reset(before)


def _tell(done: int, of: int) -> None:
    if hear := _watcher.get():
        hear(done, of)


@contextmanager
def begun(work: Callable[[], Made], *, cores: int | None = None) -> Iterator[Callable[[], Made]]:
    """Begin work in a process of its own, if there is a core for it; what is given waits for it and gives what it made.

    The work prints nothing and gives what can be pickled. If the process failed or was killed, the work is done then.
    """
    if (_cores() if cores is None else cores) < 2:
        yield work
        return
    with _process_for(lambda: (work(),)) as process:

        def made() -> Made:
            handed = process.handed_over()
            return work() if handed is None else handed[0]

        yield made


def _cores() -> int:
    return min(MOST_PROCESSES, len(os.sched_getaffinity(0))) if sys.platform == "linux" else 1


class _Process(Generic[Made]):
    """A process that begins with all this one knows, and the pipe it hands over by what it made."""

    def __init__(self, number: int, results: int) -> None:
        self.number, self.results = number, results

    def handed_over(self) -> Made | None:
        """What it made, when it is done; None if it failed."""
        with os.fdopen(self.results, "rb", closefd=False) as pipe:
            data = pipe.read()
        try:
            made: Made = pickle.loads(data)
        except (EOFError, pickle.UnpicklingError):
            return None
        return made


class _Nobody(_Process[Made]):
    """Stands for a process the machine did not allow."""

    def __init__(self) -> None:
        super().__init__(0, -1)

    def handed_over(self) -> None:
        return None


@contextmanager
def _process_for(work: Callable[[], Made]) -> Iterator[_Process[Made]]:
    """A process that does the work while this one goes on, gone when nobody waits for it any more."""
    results, hand_over = os.pipe()
    _reading.add(results)
    number = _begin(lambda: _hand_over(work, hand_over))
    os.close(hand_over)
    try:
        yield _Process(number, results) if number > 0 else _Nobody()
    finally:
        _reading.discard(results)
        os.close(results)
        if number > 0:
            os.kill(number, signal.SIGKILL)
            os.waitpid(number, 0)


def _begin(work: Callable[[], object]) -> int:
    """Begin a process that does the work and ends. Gives its number; -1 where the machine allows none.

    No signal that can wait reaches the new process before it is on its own way: Ctrl-C must not send it down the way
    of the process that began it, for that would tidy up what is not its own.
    """
    if sys.platform != "linux":
        return -1  # elsewhere a process cannot be split safely
    parent, held = os.getpid(), signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        with warnings.catch_warnings():
            # Said of every process with threads; those here are the linear algebra's, which looks after them itself.
            warnings.simplefilter("ignore", DeprecationWarning)
            number = os.fork()
        if number == 0:
            _live(work, parent, held)
    except OSError:
        number = -1
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, held)
    return number


def _live(work: Callable[[], object], parent: int, held: Iterable[int]) -> None:
    """The whole life of a process begun by another: it never comes back from here."""
    try:
        _end_with(parent)
        signal.pthread_sigmask(signal.SIG_SETMASK, held)
        for pipe in _reading:
            os.close(pipe)
        _reading.clear()
        _watcher.set(None)  # whoever watches lives in the process that began this one
        work()
    finally:
        os._exit(0)  # nothing of this process may be cleaned up, written or told twice


def _end_with(parent: int) -> None:
    """Have this process killed when the one that began it ends; end it now if that has happened or cannot be had."""
    refused = ctypes.CDLL(None).prctl(PR_SET_PDEATHSIG, signal.SIGKILL, 0, 0, 0)
    if refused or os.getppid() != parent:
        os._exit(1)


def _hand_over(work: Callable[[], object], pipe: int) -> None:
    data = pickle.dumps(work(), protocol=pickle.HIGHEST_PROTOCOL)
    with os.fdopen(pipe, "wb") as out:
        out.write(data)


def _made_of_queue(work: Callable[[Thing], Made], things: Sequence[Thing], queue: int) -> dict[int, Made]:
    """What was made of the things that the queue gave, by their numbers."""
    made = {}
    while data := os.read(queue, NUMBER.size):
        (number,) = NUMBER.unpack(data)
        _tell(number, len(things))
        made[number] = work(things[number])
    return made
