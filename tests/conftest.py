"""Hypothesis looks at fresh boats on a developer's machine and at the same ones every time in CI."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from commanded import SALTMEADOW, scrieve
from hypothesis import settings

settings.register_profile("ci", derandomize=True, deadline=None)
settings.register_profile("bench", deadline=None)
settings.load_profile("ci" if os.environ.get("CI") else "bench")

# A printer the developer has measured would correct the sheets of every job the tests make.
os.environ["XDG_CONFIG_HOME"] = tempfile.mkdtemp(prefix="scrieve-tests-")


@pytest.fixture(scope="session")
def job_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The job of the sample skiff, made by the command, once for all workers; not to be changed."""
    own = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" not in os.environ or os.name != "posix":
        return job_in(own)
    with alone_in(own.parent):
        return job_in(own.parent)


def job_in(folder: Path) -> Path:
    """The job in a folder, made if no worker has made it."""
    job = folder / "saltmeadow-job"
    if not job.exists():
        done = scrieve("loft", SALTMEADOW, "--out", job)
        assert done.returncode == 0, done.stderr
    return job


@contextmanager
def alone_in(folder: Path) -> Iterator[None]:
    """Wait until no other worker is at work in a folder they share."""
    import fcntl  # Unix alone has it

    with (folder / "saltmeadow-job.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)  # given back as the file is closed
        yield
