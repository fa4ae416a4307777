"""Where the project's shared data stands: published figures, paper sizes, woods."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent.parent
# A wheel carries the data inside the package; a checkout has it beside the package.
_PLACES = (_PACKAGE / "_shared", _PACKAGE.parent / "shared")


def shared_file(name: str) -> Path:
    """The path of a file of the project's shared data, such as ``paper_sizes.csv``.

    Raises
    ------
    FileNotFoundError
        No such file: a bug of ours or a broken installation, not the builder's doing.
    """
    for place in _PLACES:
        if (place / name).is_file():
            return place / name
    raise FileNotFoundError(f"shared data '{name}' is in none of: {', '.join(map(str, _PLACES))}")
