"""Names as a builder types them: ``frames``, ``frame 3``, ``"transom, stem"``, ``frames 3 and 4``."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from patterns.errors import PatternsError
from patterns.parts.role import Role

# What a builder may call a part otherwise; common practice, no single source.
OTHERWISE: Mapping[str, str] = {
    "mold": "mould",
    "rib": "frame",
    "knees": "knee",
    "seat": "thwart",
    "gunwale": "inwale",
    "bulkhead": "frame",
    "planking": "panel",
    "stbd": "starboard",
}
SMALL_WORDS = frozenset(("a", "and", "all", "for", "its", "of", "pattern", "the", "to"))
LINKS = re.compile(r"\s*(?:,|;|&|\+|\band\b)\s*", re.IGNORECASE)
EVERY_NAME = ("end block", "long piece", *Role)


@dataclass(frozen=True, slots=True)
class Name:
    """One thing asked for: as it was typed, and the words that a title must have."""

    typed: str
    words: frozenset[str]

    def means(self, title: str, role: str) -> bool:
        """Whether a part, or the paper for the end of one, is meant: by its own title or by what it is."""
        if role == Role.GUSSET and Role.GUSSET not in self.words:
            return False  # "frames" are whole frames
        return self.words <= words_of(f"{title} {role}")


def names_asked(asked: Iterable[str], titles: Iterable[str] = ()) -> tuple[Name, ...]:
    """The names in what was typed: several may stand in one, and a bare number or hand goes with the name before it.

    Parameters
    ----------
    titles : [str]
        Of parts, such as "side panel, port": a comma in one of these parts nothing.
    """
    whole = {title.casefold() for title in titles}
    return tuple(
        name
        for text in asked
        for name in ([Name(text, words_of(text))] if text.strip().casefold() in whole else _split(text))
    )


def _split(text: str) -> Iterator[Name]:
    before: frozenset[str] = frozenset()
    for piece in LINKS.split(text):
        words = words_of(piece)
        if not words:
            continue
        # "frames 3 and 4", "side panel, port": the rest of the name stands before.
        if before and all(word.isdecimal() or word in ("port", "starboard") for word in words):
            words |= frozenset(word for word in before if not (word.isdecimal() and any(map(str.isdecimal, words))))
        before = words
        yield Name(piece.strip(), words)


def words_of(text: str) -> frozenset[str]:
    """The words of a name, singular and in small letters, little words left out."""
    found = (word.strip("'\".:").casefold() for word in re.split(r"[\s,]+", text))
    return frozenset(_plain(word) for word in found if word and word not in SMALL_WORDS)


def _plain(word: str) -> str:
    if word.endswith("ves"):
        word = f"{word[:-3]}f"
    elif len(word) > 3 and word.endswith("s") and not word.endswith("ss"):
        word = word[:-1]
    return OTHERWISE.get(word, word)


def refuse_unknown(names: Sequence[Name], known: Sequence[tuple[str, str]]) -> None:
    """Refuse names that mean none of some parts, each with the name nearest to it.

    Parameters
    ----------
    known : [(title, role)]

    Raises
    ------
    PatternsError
        All of them at once.
    """
    unknown = [name for name in names if not any(name.means(*one) for one in known)]
    if unknown:
        titles = [title for title, _ in known]
        raise PatternsError("\n".join(_refusal(name, [*titles, *(role for _, role in known)]) for name in unknown))


def refuse_unknown_words(names: Sequence[Name], words: Iterable[str]) -> None:
    """Refuse names with a word that no part of any boat has, before the boat is lofted.

    Parameters
    ----------
    words : [str]
        Names of this boat's own, such as those of its stations.

    Raises
    ------
    PatternsError
        All of them at once.
    """
    own = words_of(" ".join(words))
    trade = words_of(" ".join((*EVERY_NAME, *_MORE)))
    unknown = [
        name
        for name in names
        if any(word not in own | trade and not any(map(str.isdigit, word)) for word in name.words)
    ]
    if unknown:
        raise PatternsError("\n".join(_refusal(name, EVERY_NAME) for name in unknown))


# Words of titles that are not in a role's own name.
_MORE = (
    "port", "starboard", "side", "bottom", "strake", "floor", "timber", "panel", "bow", "sternpost", "quarter",
    "thwart", "end", "fore", "after", "block", "section", "upper", "lower", "garboard", "half", "apron", "butt",
)  # fmt: skip


def _refusal(name: Name, names: Sequence[str]) -> str:
    plain = {" ".join(sorted(words_of(one))): one for one in names}
    near = get_close_matches(" ".join(sorted(name.words)), plain, n=1, cutoff=0.0)
    return f"--only: found '{name.typed}', expected the name of a part of this boat; the nearest is '{plain[near[0]]}'"
