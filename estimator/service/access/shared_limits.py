"""How many requests a name may still send, kept in PostgreSQL for all processes and machines, by its clock.

One statement draws some of them and says how many it got, so that two processes never draw the same.
"""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from datetime import timedelta

from sqlalchemy import Engine, delete, text

from estimator.service.context import ServiceContext
from estimator.storage.tables import RateLimitRow

KEPT = timedelta(hours=24)
SWEPT_ONCE_IN = 2_000
"""One draw in so many takes out names that nobody has used for a day."""
_FILLED = "LEAST(:burst, kept.level + :per_second * GREATEST(0, EXTRACT(EPOCH FROM now() - kept.at)))"
_DRAWN = f"LEAST(:wanted, FLOOR({_FILLED}))"
DRAW = text(  # only constants of this module are put together; values are bound
    "INSERT INTO rate_limit AS kept (name, level, drawn, at) "  # noqa: S608
    "VALUES (:name, :burst - LEAST(:wanted, :burst), LEAST(:wanted, :burst), now()) "
    f"ON CONFLICT (name) DO UPDATE SET level = {_FILLED} - {_DRAWN}, drawn = {_DRAWN}, at = GREATEST(kept.at, now()) "
    "RETURNING level, drawn"
)


@dataclass(frozen=True, slots=True)
class DrawnRequests:
    """How many requests were drawn, and how many are left for others."""

    count: int
    level: float


def shares_limits(engine: Engine) -> bool:
    """Whether limits of this database are shared; SQLite has one process, which keeps its own."""
    return engine.dialect.name == "postgresql"


def draw(context: ServiceContext, name: str, wanted: int, burst: int, per_second: float) -> DrawnRequests:
    """Up to ``wanted`` requests of a name that may send ``burst`` at once and so many a second in the long run."""
    asked = {"name": name, "wanted": float(wanted), "burst": float(burst), "per_second": per_second}
    with context.engine.begin() as connection:
        row = connection.execute(DRAW, asked).one()
        if secrets.randbelow(SWEPT_ONCE_IN) == 0:
            connection.execute(delete(RateLimitRow).where(RateLimitRow.at < context.clock() - KEPT))
    return DrawnRequests(int(row.drawn), float(row.level))
