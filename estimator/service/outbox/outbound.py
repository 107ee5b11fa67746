"""Sends one message to an address that a client named, and to nothing inside the house.

The name is resolved once and the connection goes to the very address that was looked at, so that a name that resolves
differently later reaches nothing else; redirects are not followed; little of the answer is read. Source: OWASP API
Security Top 10 (2023), API7; the ranges of RFC 6890 by ``ipaddress``, and those it takes for public though they lead
elsewhere.
"""

from __future__ import annotations

import http.client
import socket
import ssl
import time
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from ipaddress import IPv4Address, IPv6Address, IPv6Network, ip_address, ip_network
from threading import Timer
from urllib.parse import SplitResult, urlsplit

from estimator.sentences import say
from estimator.service.context import Network

CONNECT_SECONDS = 5.0
WHOLE_SECONDS = 15.0
MOST_READ = 4_096
PUBLIC_PORT = 443
TUNNELS = tuple(IPv6Network(each) for each in ("64:ff9b::/96", "64:ff9b:1::/48", "2002::/16", "::/96", "2001::/32"))
"""Addresses of IPv6 that stand for one of IPv4, wherever it may lead."""
NEVER = tuple(ip_network(each) for each in ("192.0.0.0/24", "0.0.0.0/8", "255.255.255.255/32"))
Resolve = Callable[[str, int], Sequence[str]]


@dataclass(frozen=True, slots=True)
class SendingOutcome:
    """What became of a message: a status, or why there is none; ``retry_after`` as the other side asked, seconds."""

    milliseconds: int
    status: int | None = None
    fault: str | None = None
    retry_after: int | None = None

    @property
    def delivered(self) -> bool:
        """Whether the other side has it."""
        return self.status is not None and 200 <= self.status < 300


class AddressRefused(Exception):
    """An address that messages are not sent to."""


def check_url(url: str, networks: Sequence[Network]) -> SplitResult:
    """The parts of an address that messages may be sent to. Errors: AddressRefused."""
    try:
        parts = urlsplit(url)
        host, port = parts.hostname, parts.port
    except ValueError as fault:
        raise AddressRefused(say("no web address")) from fault
    if parts.scheme not in {"https", "http"} or not host or parts.fragment:
        raise AddressRefused(say("not an address of https"))
    if parts.username is not None or parts.password is not None:
        raise AddressRefused(say("a user or password stands in the address"))
    if parts.scheme == "http" and not networks:
        raise AddressRefused(say("not an address of https"))
    if not networks and port not in {None, PUBLIC_PORT}:
        raise AddressRefused(
            say("port {port}; public addresses are reached at {public_port}", port=port, public_port=PUBLIC_PORT)
        )
    literal = _literal(host)
    if literal is not None:
        check_address(literal, parts, networks)
    return parts


def send(
    url: str, headers: Mapping[str, str], body: bytes, networks: Sequence[Network], resolve: Resolve | None = None
) -> SendingOutcome:
    """POST a body; whatever goes wrong is told in the outcome."""
    began = time.monotonic()
    try:
        status, retry_after = _post(url, headers, body, networks, resolve or resolved)
    except AddressRefused as refusal:
        return SendingOutcome(_since(began), fault=f"refused: {refusal}")
    except (OSError, http.client.HTTPException, ValueError) as fault:
        return SendingOutcome(_since(began), fault=f"{type(fault).__name__}: {fault}"[:400])
    return SendingOutcome(_since(began), status=status, retry_after=retry_after)


def resolved(host: str, port: int) -> Sequence[str]:
    """Every address of a name."""
    found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    return list(dict.fromkeys(str(each[4][0]) for each in found))


def is_public(address: IPv4Address | IPv6Address) -> bool:
    """Whether an address is one of the public network, and nothing that leads elsewhere."""
    if isinstance(address, IPv6Address) and any(address in each for each in TUNNELS):
        return False
    if isinstance(address, IPv6Address) and address.ipv4_mapped is not None:
        return False
    return address.is_global and not address.is_multicast and not any(address in each for each in NEVER)


def _post(
    url: str, headers: Mapping[str, str], body: bytes, networks: Sequence[Network], resolve: Resolve
) -> tuple[int, int | None]:
    parts = check_url(url, networks)
    host = parts.hostname or ""
    port = parts.port or (443 if parts.scheme == "https" else 80)
    addresses = resolve(host, port)
    if not addresses:
        raise AddressRefused(say("the name has no address"))
    for each in addresses:
        check_address(ip_address(each.partition("%")[0]), parts, networks)
    connection = _Pinned(addresses[0], host, port, secure=parts.scheme == "https")
    over = Timer(WHOLE_SECONDS, connection.cut)
    over.start()
    try:
        path = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
        connection.request("POST", path, body, {**headers, "Host": parts.netloc, "Connection": "close"})
        answer = connection.getresponse()
        answer.read(MOST_READ)
        wait = answer.getheader("Retry-After", "")
        return answer.status, int(wait) if wait.isascii() and wait.isdigit() and len(wait) < 8 else None
    finally:
        over.cancel()
        connection.close()


def check_address(address: IPv4Address | IPv6Address, parts: SplitResult, networks: Sequence[Network]) -> None:
    """An address that calls may reach: public, or in a network that the settings allow. Errors: as its name's."""
    if any(address.version == each.version and address in each for each in networks):
        return
    if not is_public(address):
        raise AddressRefused(say("an address that is not public"))
    if parts.scheme != "https" or parts.port not in {None, PUBLIC_PORT}:
        raise AddressRefused(
            say("public addresses are reached by https at port {public_port}", public_port=PUBLIC_PORT)
        )


def _literal(host: str) -> IPv4Address | IPv6Address | None:
    try:
        return ip_address(host)
    except ValueError:
        return None


def _since(began: float) -> int:
    return round(1000 * (time.monotonic() - began))


class _Pinned(http.client.HTTPConnection):
    """A connection to an address that was looked at; over TLS the certificate must be that of the name."""

    def __init__(self, address: str, host: str, port: int, *, secure: bool) -> None:
        super().__init__(host, port, timeout=CONNECT_SECONDS)
        self._address, self._secure = address, secure

    def connect(self) -> None:
        """To the address, whatever the name says by now."""
        plain = socket.create_connection((self._address, self.port), self.timeout)
        self.sock = plain
        if self._secure:
            self.sock = ssl.create_default_context().wrap_socket(plain, server_hostname=self.host)
        self.sock.settimeout(WHOLE_SECONDS)

    def cut(self) -> None:
        """End it, however slowly the other side goes on."""
        if self.sock is not None:
            with suppress(OSError):
                self.sock.shutdown(socket.SHUT_RDWR)
