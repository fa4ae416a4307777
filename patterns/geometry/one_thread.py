"""Many small matrices worked out on one thread."""

from __future__ import annotations

from contextlib import AbstractContextManager

from threadpoolctl import threadpool_limits


def one_thread() -> AbstractContextManager[object]:
    """While it lasts the libraries of linear algebra use one thread.

    On small matrices threads wait for each other more than they work: on a busy machine twenty times as long. One
    thread also adds in one order, so that the same figures give the same bytes.
    """
    limits: AbstractContextManager[object] = threadpool_limits(limits=1)
    return limits
