"""Which patterns are printed: all, or those asked for by name; a sawn frame's timbers where they are asked for."""

from __future__ import annotations

import re
from collections.abc import Sequence

from patterns.errors import PatternsError
from patterns.parts.part import Part
from patterns.parts.whole import Job

TIMBERS_LEFT_OFF = (
    "Timbers of sawn frames have no pages of their own: prick them from the whole frame's pattern, as far as the "
    "joint lines. With --timbers they have."
)


def printed_parts(job: Job, only: Sequence[str], *, timbers: bool) -> tuple[Part, ...]:
    """The parts of a job whose patterns are printed.

    A timber is printed too where a name of ``only`` means it and not the whole of its frame.

    Raises
    ------
    PatternsError
        A name of ``only`` that no pattern's begins with.
    """
    unknown = [name for name in only if not any(_begins(part.title, name) for part in job.parts)]
    if unknown:
        names = "; ".join(dict.fromkeys(part.name for part in job.parts))
        found = ", ".join(map(repr, unknown))
        raise PatternsError(f"--only: found {found}, expected a pattern's name or the words it begins with: {names}")
    by_itself = {part.file_name for part in job.timbers}
    whole = [part for part in job.parts if part.file_name not in by_itself]
    shown = {
        part.file_name
        for part in job.timbers
        if timbers or any(all(not _begins(other.title, name) for other in whole) for name in _meaning(part, only))
    }
    return tuple(
        part
        for part in job.parts
        if (part.file_name not in by_itself or part.file_name in shown) and (not only or _meaning(part, only))
    )


def left_off(job: Job, printed: Sequence[Part], only: Sequence[str]) -> tuple[str, ...]:
    """What the front page says of patterns that have no sheets."""
    words = f"These are not all pages of the boat, only those of: {'; '.join(only)}." if only else ""
    shown = {part.file_name for part in printed}
    frames = {part.title for part in printed}
    gone = [part for part in job.timbers if part.file_name not in shown and part.of in frames]
    return tuple(filter(None, (words, TIMBERS_LEFT_OFF if gone else "")))


def _meaning(part: Part, only: Sequence[str]) -> list[str]:
    """The names that a part's begins with."""
    return [name for name in only if _begins(part.title, name)]


def _begins(title: str, name: str) -> bool:
    """Whether the words of a title begin with a name: ``frame 1`` does not begin ``frame 10``."""
    words = r"\s+".join(map(re.escape, name.split()))
    return bool(words) and re.match(rf"{words}(?!\w)", title, re.IGNORECASE) is not None
