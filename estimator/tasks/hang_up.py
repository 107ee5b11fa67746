"""Whether anybody still waits for what the present thread works on."""

from __future__ import annotations

from collections.abc import Callable
from contextvars import ContextVar


def somebody_waits() -> bool:
    """The client is still there: for work that nobody watches."""
    return False


GONE: ContextVar[Callable[[], bool]] = ContextVar("gone", default=somebody_waits)
"""Tells whether the client has hung up, or the lease on the operation is lost."""


class NobodyWaits(Exception):
    """The client has hung up, or the operation was cancelled: the calculation was stopped."""
