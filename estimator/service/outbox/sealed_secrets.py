"""Secrets of webhooks, sealed: those that lie plain, or under an older key, are sealed by the newest at a start."""

from __future__ import annotations

import structlog
from sqlalchemy import select

from estimator.service.context import ServiceContext
from estimator.service.outbox.signatures import PREFIX
from estimator.service.sealing import Seal, Shut
from estimator.storage.tables import WebhookRow

log = structlog.get_logger("estimator")


def seal_secrets(context: ServiceContext) -> int:
    """Seal every secret by the newest key, however many machines start; how many were sealed.

    What no key opens stays as it is and is told in the log; its owner has a new one made (``rotate-secret``).
    """
    row = WebhookRow
    found = select(row.id).where(row.secret != "")
    with context.reading() as session:
        ids = list(session.scalars(found.order_by(row.id)))
    return sum(_seal(context, each) for each in ids)


def _seal(context: ServiceContext, webhook_id: str) -> int:
    with context.reading() as session:
        kept = session.get_one(WebhookRow, webhook_id)
        if all(each is None or context.seal.is_newest(each) for each in (kept.secret, kept.older_secret)):
            return 0
    try:
        with context.writing() as session:
            row = session.get_one(WebhookRow, webhook_id, with_for_update=True)
            row.secret = _anew(context.seal, row.secret)
            row.older_secret = None if row.older_secret is None else _anew(context.seal, row.older_secret)
    except Shut as why:
        log.error("webhook secret stays shut", webhook=webhook_id, why=str(why), remedy="rotate-secret")
        return 0
    return 1


def _anew(seal: Seal, kept: str) -> str:
    return seal.shut(kept if kept.startswith(PREFIX) else seal.open(kept))
