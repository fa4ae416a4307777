"""The same work on many things, by as many processes as there are cores to run them."""

from __future__ import annotations

import os
import pickle
import signal
import struct
import sys
import warnings
from collections.abc import Callable, Sequence
from typing import TypeVar

Thing = TypeVar("Thing")
Made = TypeVar("Made")

MOST_HANDS = 4  # each holds what it makes until it hands it over, some tens of MB
NUMBER = struct.Struct("<H")  # of a thing in the row, as it stands in the queue
QUEUE_TAKES = 4096  # bytes; a Linux pipe takes sixteen times as many before somebody must read


def by_many_hands(
    work: Callable[[Thing], Made], things: Sequence[Thing], *, hands: int | None = None
) -> tuple[Made, ...]:
    """``tuple(work(thing) for thing in things)``, shared out.

    Whoever is free takes the next thing. What is made is the same, in the same order, however many there are: work must
    hang on its thing alone, print nothing, and give what can be pickled. Nobody misses a process that fails or is
    killed: what it did not hand over is made here, and raises here what it raised there.

    Parameters
    ----------
    hands : int, optional
        How many processes, this one among them; where not given, one for each core this process may use.
    """
    if sys.platform != "linux":  # where a process cannot be split in two safely, or at all
        return tuple(work(thing) for thing in things)
    count = min(_cores() if hands is None else hands, len(things))
    if count < 2 or len(things) * NUMBER.size > QUEUE_TAKES:
        return tuple(work(thing) for thing in things)
    queue, feed = os.pipe()
    os.write(feed, b"".join(map(NUMBER.pack, range(len(things)))))
    os.close(feed)
    helpers = [one for one in (_helper(work, things, queue) for _ in range(count - 1)) if one]
    made: dict[int, Made] = {}
    try:
        made = _made(work, things, queue)
        for _, results in helpers:
            made |= _handed_over(results)
    except Exception:
        made = {}  # all begun again: of several faults the first is raised, as if one had done it all
    finally:
        os.close(queue)
        for process, results in helpers:
            os.close(results)
            os.kill(process, signal.SIGKILL)  # it is done, or nobody waits for it any more
            os.waitpid(process, 0)
    return tuple(made[number] if number in made else work(thing) for number, thing in enumerate(things))


def _cores() -> int:
    return min(MOST_HANDS, len(os.sched_getaffinity(0))) if sys.platform == "linux" else 1


def _helper(work: Callable[[Thing], Made], things: Sequence[Thing], queue: int) -> tuple[int, int] | None:
    """A process beside this one that takes from the queue, and the pipe it hands over what it made by.

    None where the machine allows no more of them.
    """
    results, hand_over = os.pipe()
    try:
        with warnings.catch_warnings():
            # Said of every process with threads; those here are the linear algebra's, which looks after them itself.
            warnings.simplefilter("ignore", DeprecationWarning)
            process = os.fork()
    except OSError:
        os.close(results)
        os.close(hand_over)
        return None
    if process:
        os.close(hand_over)
        return process, results
    try:
        data = pickle.dumps(_made(work, things, queue), protocol=pickle.HIGHEST_PROTOCOL)
        with os.fdopen(hand_over, "wb") as out:
            out.write(data)
    finally:
        os._exit(0)  # nothing of this process may be cleaned up, written or told twice


def _made(work: Callable[[Thing], Made], things: Sequence[Thing], queue: int) -> dict[int, Made]:
    """What was made of the things taken from the queue, by their numbers."""
    made = {}
    while taken := os.read(queue, NUMBER.size):
        (number,) = NUMBER.unpack(taken)
        made[number] = work(things[number])
    return made


def _handed_over(results: int) -> dict[int, Made]:
    """What a process hands over; nothing from one that failed."""
    with os.fdopen(results, "rb", closefd=False) as pipe:
        data = pipe.read()
    try:
        handed: dict[int, Made] = pickle.loads(data)
    except (EOFError, pickle.UnpicklingError):
        return {}
    return handed
