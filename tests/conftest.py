"""Hypothesis looks at fresh boats on a developer's machine and at the same ones every time in CI."""

from __future__ import annotations

import os
import tempfile
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
    """The job of the sample skiff, made by the command; not to be changed."""
    folder = tmp_path_factory.mktemp("job") / "out"
    done = scrieve("loft", SALTMEADOW, "--out", folder)
    assert done.returncode == 0, done.stderr
    return folder
