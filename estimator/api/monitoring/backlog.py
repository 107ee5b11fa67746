"""What is waiting, as numbers for monitoring: deliveries and operations by state, and how old the oldest is.

They come from the database, so every process reports the same; it is asked at most once every few seconds.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from threading import Lock
from typing import Any

from prometheus_client.core import GaugeMetricFamily
from prometheus_client.registry import Collector
from sqlalchemy import func, select
from sqlalchemy.exc import SQLAlchemyError

from estimator.service.context import ServiceContext
from estimator.storage.tables import DeliveryRow, OperationRow

ASKED_EVERY_SECONDS = 5.0
WAITING = ("pending", "queued", "running")


@dataclass(slots=True, eq=False)
class Backlog(Collector):
    """Gauges from the database."""

    context: ServiceContext
    _kept: tuple[GaugeMetricFamily, ...] = ()
    _until: float = 0.0
    _lock: Lock = field(default_factory=Lock)

    def collect(self) -> Iterator[GaugeMetricFamily]:
        """The gauges; none where the database cannot be reached."""
        with self._lock:
            if time.monotonic() >= self._until:
                self._kept = self._asked()
                self._until = time.monotonic() + ASKED_EVERY_SECONDS
            yield from self._kept

    def _asked(self) -> tuple[GaugeMetricFamily, ...]:
        try:
            return (
                *self._of("deliveries", "delivery", DeliveryRow.delivery_state, DeliveryRow.created_at),
                *self._of("operations", "operation", OperationRow.state, OperationRow.created_at),
            )
        except SQLAlchemyError:
            return ()

    def _of(self, many: str, one: str, state: Any, created_at: Any) -> Iterator[GaugeMetricFamily]:
        counts = GaugeMetricFamily(f"estimator_{many}", f"{many} by state", labels=["state"])
        oldest = GaugeMetricFamily(f"estimator_{one}_oldest_seconds", f"Age of the oldest {one} that is not over")
        begun: list[datetime] = []
        with self.context.looking_up() as connection:
            for name, count, first in connection.execute(
                select(state, func.count(), func.min(created_at)).group_by(state)
            ):
                counts.add_metric([name], count)
                begun += [first] if name in WAITING else []
        now = self.context.clock()
        oldest.add_metric([], (now - min(begun)).total_seconds() if begun else 0.0)
        yield counts
        yield oldest
