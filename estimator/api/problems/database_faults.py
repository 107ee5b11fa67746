"""What to do about a fault of the database: run the request again, answer that others hold it, or report it.

A deadlock or a failed serialisation is rolled back whole by the database, so the same request may run again at once;
where a lock is held too long, or no server answers, the client has to send it again. Source: PostgreSQL's
table of error codes (appendix A of its manual); SQLite's result codes SQLITE_BUSY and SQLITE_LOCKED.
"""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Callable
from typing import TypeVar

from sqlalchemy.exc import DBAPIError, OperationalError
from sqlalchemy.exc import TimeoutError as PoolEmpty

from estimator.contract.problems.refusals import Busy, NotReady
from estimator.errors import EstimatorError
from estimator.sentences import say

ROLLED_BACK = frozenset({"40001", "40P01"})
HELD = frozenset({"55P03", "57014", "53300"})
LOCKED = frozenset({sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED})
TRIES = 4
PAUSE_SECONDS = 0.05
Made = TypeVar("Made")


def tried(act: Callable[[], Made]) -> Made:
    """The result of ``act``, run again where the database rolled it back in favour of another.

    Errors: Busy where that does not help, or where others hold what it needs; NotReady where nobody answers.
    """
    for attempt in range(1, TRIES + 1):
        try:
            return act()
        except DBAPIError as fault:
            if code_of(fault) not in ROLLED_BACK:
                raise
            if attempt == TRIES:
                raise Busy(say("others change the same things at the same time")) from fault
            time.sleep(PAUSE_SECONDS * attempt)
    raise AssertionError("unreachable")


def refusal_of(fault: Exception) -> EstimatorError | None:
    """A fault of the database as a refusal; None where it is an internal fault."""
    if isinstance(fault, PoolEmpty):
        return Busy(say("every connection to the database is taken"))
    told = fault.orig if isinstance(fault, DBAPIError) else fault
    if isinstance(told, sqlite3.OperationalError) and _primary(told) in LOCKED:
        return Busy(say("other requests hold locks that this one needs"))
    if not isinstance(fault, DBAPIError):
        return None
    code = code_of(fault)
    if code in ROLLED_BACK | HELD:
        return Busy(say("other requests hold locks that this one needs"))
    if isinstance(fault, OperationalError) and (fault.connection_invalidated or code is None):
        return NotReady(say("the database cannot be reached"))
    return None


def _primary(fault: sqlite3.OperationalError) -> int | None:
    """SQLite's primary result code, which the low byte of an extended one is; nothing where the driver gave none."""
    code: int | None = getattr(fault, "sqlite_errorcode", None)
    return None if code is None else code & 0xFF


def code_of(fault: DBAPIError) -> str | None:
    """The code that PostgreSQL gave; nothing from other databases."""
    return getattr(fault.orig, "sqlstate", None)
