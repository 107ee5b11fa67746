"""The courier: a thread of each server process that delivers what is due and looks for quotes that expire."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from threading import Event, Thread

import structlog

from estimator.service.context import ServiceContext
from estimator.service.dispatch.expiry import tell_expiry
from estimator.service.editions import tell_in_force
from estimator.service.outbox.deliveries import deliver_next
from estimator.service.outbox.outbound import SendingOutcome, send

LOOK_EVERY_SECONDS = 1.0
EXPIRY_EVERY_SECONDS = 60.0
SENDERS = 4
log = structlog.get_logger("estimator")


class Courier:
    """Sends from a few threads, so that one that answers slowly holds up nobody else."""

    def __init__(self, context: ServiceContext) -> None:
        self._context, self._over = context, Event()

    def start(self) -> None:
        """Begin; the threads end with the process."""
        for at in range(SENDERS):
            self._thread(f"courier {at + 1}", self.deliver, LOOK_EVERY_SECONDS)
        self._thread("expiry", self.look_for_expiry, EXPIRY_EVERY_SECONDS)

    def stop(self) -> None:
        """End after what is under way."""
        self._over.set()

    def deliver(self) -> None:
        """Deliver everything that is due."""
        while not self._over.is_set() and deliver_next(self._context, self._send):
            pass

    def look_for_expiry(self) -> None:
        """Tell of quotes that expire and of editions that come into force."""
        tell_expiry(self._context)
        tell_in_force(self._context)

    def _send(self, url: str, headers: Mapping[str, str], body: bytes) -> SendingOutcome:
        return send(url, headers, body, self._context.webhook_networks)

    def _thread(self, name: str, act: Callable[[], None], every_seconds: float) -> None:
        Thread(target=self._again, args=(act, every_seconds), name=name, daemon=True).start()

    def _again(self, act: Callable[[], None], every_seconds: float) -> None:
        while not self._over.wait(every_seconds):
            began = time.monotonic()
            try:
                act()
            except Exception as fault:  # the thread goes on, whatever the database says
                log.warning("courier", error=type(fault).__name__, seconds=round(time.monotonic() - began, 1))
