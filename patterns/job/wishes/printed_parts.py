"""Which patterns have pages: what a home printer is for, all, or those asked for by name."""

from __future__ import annotations

from collections.abc import Sequence

from patterns.drawing.marks import Drawing
from patterns.job.wishes.chosen_names import Name, names_asked, refuse_unknown
from patterns.job.wishes.wishes import Wishes
from patterns.parts.part import Part
from patterns.parts.role import Role
from patterns.parts.whole import Job

ON_PAGES = frozenset((
    Role.FRAME,
    Role.MOULD,
    Role.GUSSET,
    Role.TRANSOM,
    Role.FRAMING,
    Role.STEM,
    Role.FALSE_STEM,
    Role.KNEE,
    Role.BREASTHOOK,
))  # fmt: skip
"""What is small enough for a home printer. The rest is laid out by its table, or printed on a roll."""
BLOCK = "end block"  # what a paper for the end of a long piece is, as a role is what a part is
TIMBERS_LEFT_OFF = (
    "Pieces of frames and moulds have no pages: prick them from the whole one's pattern, as far as the joint lines. "
    "With --timbers they have."
)


def names_in(job: Job, blocks: Sequence[Drawing], wishes: Wishes) -> tuple[Name, ...]:
    """The names of patterns that are asked for.

    Raises
    ------
    PatternsError
        A name that means no pattern of the job.
    """
    names = names_asked(wishes.only, (part.title for part in job.parts))
    known = [(part.title, part.role.value) for part in job.parts]
    refuse_unknown(names, [*known, *((block.title, BLOCK) for block in blocks)])
    return names


def printed_parts(job: Job, names: Sequence[Name], wishes: Wishes) -> tuple[Part, ...]:
    """The parts of a job whose patterns have pages.

    A timber has them too where a name means it and not the whole of its frame.
    """
    by_itself = {part.file_name for part in job.timbers}
    whole = [part for part in job.parts if part.file_name not in by_itself]
    return tuple(
        part
        for part in job.parts
        if (_timber_shown(part, whole, names, wishes) if part.file_name in by_itself else _shown(part, names, wishes))
    )


def _shown(part: Part, names: Sequence[Name], wishes: Wishes) -> bool:
    if names:
        return any(name.means(part.title, part.role.value) for name in names)
    return wishes.all_pages or part.role in ON_PAGES


def _timber_shown(part: Part, whole: Sequence[Part], names: Sequence[Name], wishes: Wishes) -> bool:
    meant = [name for name in names if name.means(part.title, part.role.value)]
    if wishes.timbers:
        return bool(meant) or (not names and (wishes.all_pages or part.of_a is None or part.of_a in ON_PAGES))
    return any(not any(name.means(other.title, other.role.value) for other in whole) for name in meant)


def printed_blocks(blocks: Sequence[Drawing], names: Sequence[Name]) -> tuple[Drawing, ...]:
    """The papers for the ends of long pieces that are printed."""
    return tuple(block for block in blocks if not names or any(name.means(block.title, BLOCK) for name in names))


def timbers_left_off(job: Job, printed: Sequence[Part]) -> bool:
    """Whether a frame that has pages has timbers that have none."""
    shown, frames = {part.file_name for part in printed}, {part.title for part in printed}
    return any(part.file_name not in shown and part.of in frames for part in job.timbers)


def not_on_pages(job: Job, printed: Sequence[Part]) -> tuple[Part, ...]:
    """The parts without pages, timbers aside, which a whole frame shows."""
    shown = {part.file_name for part in (*printed, *job.timbers)}
    return tuple(part for part in job.parts if part.file_name not in shown and not part.as_cut)


def left_off(missing: Sequence[Part], pages: int, *, timbers: bool, only: Sequence[str]) -> tuple[str, ...]:
    """What is said of patterns that have no pages.

    Parameters
    ----------
    pages : int
        How many more there would be with the missing parts, about.
    timbers : bool
        Whether timbers of frames are among what has none.
    """
    said = []
    if only:
        said.append(f"These are not all pages of the boat, only those of: {'; '.join(only)}.")
    elif missing:
        kinds = list(dict.fromkeys(plural(part.role) for part in missing))
        named = f"{', '.join(kinds[:-1])} and {kinds[-1]}" if len(kinds) > 1 else kinds[0]
        said.append(
            f"Lay out {named} by layout table, story stick or roll. --all adds their pages, about {pages} more."
        )
    return (*said, TIMBERS_LEFT_OFF) if timbers else tuple(said)


def plural(role: Role) -> str:
    """``chine logs``."""
    return f"{role.value}s"
