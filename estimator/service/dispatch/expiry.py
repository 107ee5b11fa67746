"""Quotes whose validity ends soon or has ended are told once, however many processes look for them.

The process that changes the row reports it in the same transaction; a second one finds nothing left to change.
"""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from sqlalchemy import Select, select
from sqlalchemy.orm import defer

from estimator.service.context import Client, ServiceContext
from estimator.service.quoting.stored.history import told
from estimator.storage import tables

QUOTE = tables.QuoteRow
AT_ONCE = 200


def tell_expiry(context: ServiceContext) -> int:
    """Tell of every quote whose validity ends soon or has ended; how many were told."""
    today = context.today()
    soon = today + timedelta(days=context.expiring_days)
    issued = select(QUOTE.id).where(QUOTE.state == "issued").limit(AT_ONCE)
    over = issued.where(QUOTE.valid_until < today)
    ending = issued.where(QUOTE.valid_until >= today, QUOTE.valid_until <= soon, QUOTE.expiring_told_at.is_(None))
    return _tell_each(context, over, "expired") + _tell_each(context, ending, "expiring")


def _tell_each(context: ServiceContext, which: Select[Any], what: str) -> int:
    with context.reading() as session:
        ids = list(session.scalars(which))
    return sum(_tell(context, each, what) for each in ids)


def _tell(context: ServiceContext, quote_id: str, what: str) -> bool:
    """Whether it was this process that told: the row is looked at once more under its lock."""
    now, today = context.clock(), context.today()
    found = select(QUOTE).where(QUOTE.id == quote_id, QUOTE.state == "issued").options(defer(QUOTE.offer))
    found = found.where(QUOTE.valid_until < today if what == "expired" else QUOTE.expiring_told_at.is_(None))
    with context.writing() as session:
        row = session.scalar(found.with_for_update())
        if row is None:
            return False
        if what == "expired":
            row.state, row.updated_at = "expired", now
        else:
            row.expiring_told_at = now
        told(session, context, Client(row.organisation_id, "", "", "service", "", kind="service"), row, what)
        return True
