"""``python -m patterns`` is the command ``scrieve``."""

from __future__ import annotations

import sys

from patterns.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
