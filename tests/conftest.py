"""Hypothesis looks at fresh boats on a developer's machine and at the same ones every time in CI."""

from __future__ import annotations

import os
import tempfile

from hypothesis import settings

settings.register_profile("ci", derandomize=True, deadline=None)
settings.register_profile("bench", deadline=None)
settings.load_profile("ci" if os.environ.get("CI") else "bench")

# A printer the developer has measured would correct the sheets of every job the tests make.
os.environ["XDG_CONFIG_HOME"] = tempfile.mkdtemp(prefix="scrieve-tests-")
