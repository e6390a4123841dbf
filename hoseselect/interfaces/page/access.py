"""Who may see the page: which host names it answers to, and the key on a network."""

from __future__ import annotations

import hmac
import ipaddress
import secrets
from dataclasses import dataclass

KEY_BYTES = 16
"""Bytes of an access key: 128 bits cannot be guessed (common practice, no source)."""
COOKIE = "hoseselect-key"
LOOPBACK_NAMES = ("localhost", "127.0.0.1", "[::1]")


@dataclass(frozen=True)
class Access:
    """Who may see the page.

    Parameters
    ----------
    hosts : host names, without port, that a request may name
    key : that must be shown; empty on the loopback address alone
    """

    hosts: tuple[str, ...] = LOOPBACK_NAMES
    key: str = ""

    def knows_host(self, header: str) -> bool:
        """Return whether a Host header names this page, and no other site that leads here.

        Parameters
        ----------
        header : as sent, with or without a port
        """
        name = header.strip().casefold()
        bare, colon, port = name.rpartition(":")
        if colon and port.isdigit():
            name = bare
        return name in self.hosts

    def opens(self, shown: str) -> bool:
        """Return whether a key that was shown is the key; any is, where none is wanted."""
        return not self.key or hmac.compare_digest(shown.encode(), self.key.encode())


def on_the_network(addresses: tuple[str, ...]) -> Access:
    """Return the access of a page that others on the network may see, with a new key.

    Parameters
    ----------
    addresses : of this machine on the network
    """
    hosts = (*LOOPBACK_NAMES, *(as_host(address) for address in addresses))
    return Access(hosts, secrets.token_urlsafe(KEY_BYTES))


def as_host(address: str) -> str:
    """Return an address as it stands in a link."""
    return f"[{address}]" if ipaddress.ip_address(address).version == IPV6 else address


IPV6 = 6
