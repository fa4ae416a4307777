"""What a part is made of, as the builder names it."""

from __future__ import annotations

from dataclasses import dataclass

NOT_STATED = "not stated"  # the material of a part whose key the builder left out


def plain(material: str) -> str:
    """A material's name as it is compared: small letters, one blank between words."""
    return " ".join(material.lower().split())


def material_words(material: str) -> str:
    """The material as it can stand alone, far from the key it was not stated under."""
    return f"material {NOT_STATED}" if material == NOT_STATED else material


@dataclass(frozen=True, slots=True)
class Plywood:
    """Which materials come in sheets: a whole name decides, never a word in it."""

    listed: frozenset[str] = frozenset()  # plain names

    def __contains__(self, material: str) -> bool:
        return plain(material) in self.listed
