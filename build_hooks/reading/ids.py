"""What an id looks like: of a part, a pack, a unit's folder, the file of a path."""

from __future__ import annotations

import re
import unicodedata
from typing import Final

__all__ = ["ID_PATTERN", "WORDS_OF_YAML", "id_from", "is_id"]

ID_PATTERN: Final = "[a-z0-9]+(-[a-z0-9]+)*"
"""Small letters, figures and single hyphens between them; for the whole of a text."""

WORDS_OF_YAML: Final = frozenset({"true", "false", "null"})
"""What YAML reads as no text: written as an id, it would name nothing."""


def is_id(text: str) -> bool:
    """Whether a text can be an id."""
    return re.fullmatch(ID_PATTERN, text) is not None and text not in WORDS_OF_YAML


def id_from(text: str) -> str:
    """The id that is nearest to a text, without its accents; empty where it has no letter or figure that an id may have."""
    plain = "".join(sign for sign in unicodedata.normalize("NFKD", text) if not unicodedata.combining(sign))
    return "-".join(re.findall("[a-z0-9]+", plain.casefold()))
