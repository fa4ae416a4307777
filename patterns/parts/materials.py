"""What a part is made of, as the builder names it, and the key of boat.toml that says so."""

from __future__ import annotations

import re
from dataclasses import dataclass

NOT_STATED = "not stated"  # the material of a part whose key the builder left out
PLYWOOD_WORDS = frozenset(("ply", "plywood"))

_TABLES = (
    (r"side panel.*|strake .*", "planking.side", "material"),
    (r"bottom panel.*", "planking.bottom", "material"),
    (r"(frame|mould) .* gusset", "frames", "gusset_material"),
    (r"(frame|mould) .*", "frames", "material"),
    (r"transom framing.*", "transom.framing", "material"),
    (r"bow transom framing.*", "bow_transom.framing", "material"),
    (r"false (stem|sternpost)", r"\1", "false_material"),
    (r"thwart \d+", "[thwart]", "material"),
    (r"thwart \d+ knee", "thwart_knee", "material"),
    (r"(bow )?quarter knee", "quarter_knee", "material"),
    (r"(after )?breasthook", "breasthook", "material"),
    (r"riser( \d+)?", "riser", "material"),
    (r"(stem|sternpost|inwale|outwale|keelson|skeg)", r"\1", "material"),
    (r"(bow|chine|rub|keel)? ?(transom|log|rail|batten)", r"\1_\2", "material"),
)


def plain(material: str) -> str:
    """A material's name as it is compared: small letters, one blank between words."""
    return " ".join(material.lower().split())


def material_words(material: str) -> str:
    """The material as it can stand alone, far from the key it was not stated under."""
    return f"material {NOT_STATED}" if material == NOT_STATED else material


@dataclass(frozen=True, slots=True)
class Plywood:
    """Which materials come in sheets."""

    listed: frozenset[str] = frozenset()  # plain names, as the builder lists them
    by_name: bool = True  # whether others are plywood too where their own name says so

    def __contains__(self, material: str) -> bool:
        named = self.by_name and not PLYWOOD_WORDS.isdisjoint(re.findall(r"[^\W\d_]+", plain(material)))
        return named or plain(material) in self.listed


def material_key(part_name: str) -> str:
    """Where boat.toml states the material of a part: ``[planking.side] material``.

    Only stringers are named by their builder, and none may have the name of another part.
    """
    for names, table, key in _TABLES:
        if found := re.fullmatch(names, part_name):
            return f"[{found.expand(table).strip('_')}] {key}"
    return "[[stringer]] material"
