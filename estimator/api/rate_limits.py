"""Rate limits: a token bucket for each key, and a smaller one for each address without a live key."""

from __future__ import annotations

import math
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from threading import Lock

from estimator.contract.problems.refusals import TooMany

MOST_BUCKETS = 10_000


@dataclass(slots=True)
class TokenBuckets:
    """Token buckets by name: ``burst`` requests at once, ``per_second`` in the long run. Source: common practice."""

    burst: int
    per_second: float
    clock: Callable[[], float]
    _levels: OrderedDict[str, tuple[float, float]] = field(default_factory=OrderedDict)
    _lock: Lock = field(default_factory=Lock)

    def take(self, name: str) -> int:
        """One request of that name; how many are left. Errors: TooMany, with the seconds to wait."""
        now = self.clock()
        with self._lock:
            level, since = self._levels.pop(name, (float(self.burst), now))
            level = min(float(self.burst), level + (now - since) * self.per_second)
            self._levels[name] = (max(0.0, level - 1) if level >= 1 else level, now)
            if len(self._levels) > MOST_BUCKETS:
                self._levels.popitem(last=False)
        if level < 1:
            raise TooMany(max(1, math.ceil((1 - level) / self.per_second)))
        return int(level) - 1

    def told(self, left: int) -> dict[str, str]:
        """Policy and share as header fields: all are there again after the time that the missing ones take.

        Source: the IETF's draft on RateLimit header fields for HTTP, from memory.
        """
        whole = math.ceil(self.burst / self.per_second)
        again = math.ceil((self.burst - left) / self.per_second)
        return {"RateLimit-Policy": f'"key";q={self.burst};w={whole}', "RateLimit": f'"key";r={left};t={again}'}
