"""Rate limits: a token bucket for each key, and a smaller one for each address without a live key.

One process keeps its own buckets; several over one PostgreSQL share theirs, and each draws a few requests at a time.
"""

from __future__ import annotations

import math
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from threading import Lock
from typing import Protocol

from estimator.contract.problems.refusals import TooMany
from estimator.service.access.shared_limits import DrawnRequests

MOST_BUCKETS = 10_000
DRAWS_FOR_A_BURST = 100
"""The part of a burst that a process draws at a time; kept small, since what it holds unused is lost to the others."""


@dataclass(frozen=True, slots=True)
class RequestShare:
    """How many requests a name may send: ``burst`` at once, ``per_second`` in the long run. Source: common practice."""

    burst: int
    per_second: float

    def told(self, left: int) -> dict[str, str]:
        """Policy and share as header fields: all are there again after the time that the missing ones take.

        Source: the IETF's draft on RateLimit header fields for HTTP, from memory.
        """
        whole = math.ceil(self.burst / self.per_second)
        again = math.ceil((self.burst - left) / self.per_second)
        return {"RateLimit-Policy": f'"key";q={self.burst};w={whole}', "RateLimit": f'"key";r={left};t={again}'}

    def wait(self, level: float) -> int:
        """Seconds until the next request, where the level is below one."""
        return max(1, math.ceil((1 - level) / self.per_second))


class Buckets(Protocol):
    """Token buckets by name."""

    @property
    def share(self) -> RequestShare:
        """What each name may send."""

    def take(self, name: str) -> int:
        """One request of that name; how many are left. Errors: TooMany, with the seconds to wait."""


@dataclass(slots=True)
class TokenBuckets:
    """The buckets of one process."""

    share: RequestShare
    clock: Callable[[], float]
    _levels: OrderedDict[str, tuple[float, float]] = field(default_factory=OrderedDict)
    _lock: Lock = field(default_factory=Lock)

    def take(self, name: str) -> int:
        """One request of that name; how many are left. Errors: TooMany."""
        now, burst = self.clock(), float(self.share.burst)
        with self._lock:
            level, since = self._levels.pop(name, (burst, now))
            level = min(burst, level + (now - since) * self.share.per_second)
            self._levels[name] = (max(0.0, level - 1) if level >= 1 else level, now)
            if len(self._levels) > MOST_BUCKETS:
                self._levels.popitem(last=False)
        if level < 1:
            raise TooMany(self.share.wait(level))
        return int(level) - 1


@dataclass(slots=True)
class SharedBuckets:
    """Buckets that all processes share: ``draw`` takes some requests of a name out of the common one."""

    share: RequestShare
    draw: Callable[[str, int], DrawnRequests]
    _held: OrderedDict[str, DrawnRequests] = field(default_factory=OrderedDict)
    _lock: Lock = field(default_factory=Lock)

    def take(self, name: str) -> int:
        """One request of that name; how many are left. Errors: TooMany."""
        with self._lock:
            held = self._held.pop(name, None)
            if held is not None and held.count > 0:
                return self._hold(name, DrawnRequests(held.count - 1, held.level))
        drawn = self.draw(name, max(1, self.share.burst // DRAWS_FOR_A_BURST))
        if drawn.count < 1:
            raise TooMany(self.share.wait(drawn.level))
        with self._lock:
            others = self._held.pop(name, None)
            count = drawn.count - 1 + (others.count if others else 0)
            return self._hold(name, DrawnRequests(count, drawn.level))

    def _hold(self, name: str, held: DrawnRequests) -> int:
        self._held[name] = held
        if len(self._held) > MOST_BUCKETS:
            self._held.popitem(last=False)
        return held.count + int(held.level)
