"""What a piece of Python prints in fresh processes, each with its own order of sets and hashes."""

import os
import subprocess
import sys

HASH_SEEDS = ("0", "4711")


def printed_in_fresh_runs(code: str) -> set[str]:
    """Run the code once for each hash seed, with the imports the tests have; every different text it prints.

    One text means that no order of a set or a hash moves what is written.
    """
    # pytest puts the tests' folders on the path of this process only, so a fresh one is told of them.
    path = os.pathsep.join(sys.path)
    return {
        subprocess.run(
            [sys.executable, "-c", code],
            capture_output=True,
            text=True,
            check=True,
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": path},
        ).stdout.strip()
        for seed in HASH_SEEDS
    }
