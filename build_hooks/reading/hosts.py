"""Which names of hosts nobody outside can own: this machine, the shop's network."""

from __future__ import annotations

import ipaddress
from typing import Final

__all__ = ["is_private_host"]

# Endings that no registry gives away: RFC 6761 (localhost), RFC 6762 (local), RFC 8375 (home.arpa), ICANN resolution 2024.07.29.06
# (internal); lan is common practice in routers, no source.
_PRIVATE_ENDINGS: Final = ("localhost", "local", "home.arpa", "internal", "lan")


def is_private_host(host: str) -> bool:
    """Whether a host is this machine or one of a private network.

    Args:
        host: a name or an address, without a port; an IPv6 address may be in brackets.

    Source: RFC 1918 and RFC 4193 (private addresses), RFC 6761, RFC 6762 and RFC 8375 (names).
    """
    name = host.strip("[]").rstrip(".").lower()
    try:
        address = ipaddress.ip_address(name)
    except ValueError:
        return bool(name) and ("." not in name or any(name.endswith(f".{ending}") for ending in _PRIVATE_ENDINGS))
    return address.is_loopback or address.is_link_local or (address.is_private and not address.is_unspecified)
