"""The PIN of a senior, as ``shop.yml`` keeps it: salted and hashed, because the file may be published with the site."""

from __future__ import annotations

import hashlib
import re
import secrets
from typing import Final

__all__ = ["ITERATIONS", "is_pin", "kept_pin"]

ITERATIONS: Final = 20_000
"""How often the hash is repeated. More would only slow the sign-off: so few figures can be tried through whatever the number."""

_PIN: Final = re.compile(r"[0-9]{4,12}")
_SALT_BYTES: Final = 16


def is_pin(text: str) -> bool:
    """Whether a text can be a PIN: 4 to 12 figures."""
    return _PIN.fullmatch(text) is not None


def kept_pin(pin: str, salt: bytes | None = None) -> str:
    """A PIN as it is kept.

    Args:
        pin: 4 to 12 figures.
        salt: 16 bytes; by default drawn by chance.

    Returns:
        Name of the method, number of iterations, salt and hash, hexadecimal, with a $ between them.

    Source: PBKDF2 of RFC 8018 with HMAC-SHA-256.
    """
    salt = secrets.token_bytes(_SALT_BYTES) if salt is None else salt
    digest = hashlib.pbkdf2_hmac("sha256", pin.encode(), salt, ITERATIONS)
    return f"pbkdf2-sha256${ITERATIONS}${salt.hex()}${digest.hex()}"
