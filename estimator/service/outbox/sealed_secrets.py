"""Secrets of webhooks, sealed: those that lie plain, or under an older key, are sealed by the newest at a start.

All machines share the key. The database keeps one text that it sealed first; a machine that cannot open it is told at
its start, before it seals anything that the others cannot open.
"""

from __future__ import annotations

import structlog
from sqlalchemy import select
from sqlalchemy.exc import IntegrityError

from estimator.errors import Fault, Refused
from estimator.sentences import say
from estimator.service.context import ServiceContext
from estimator.service.outbox.signatures import PREFIX
from estimator.service.sealing import Seal, Shut
from estimator.storage.tables import SealCheckRow, WebhookRow

ONLY = 1
CHECKED = "estimator"
KEY_LOST = "--secrets-key-lost"
log = structlog.get_logger("estimator")


def check_key(context: ServiceContext, *, lost: bool = False) -> None:
    """Compare the key with what the database keeps sealed; at the first start keep something of it to compare with.

    ``lost``: the key is gone for good; from now on the one that is told holds, and webhooks need new secrets.
    Errors: Refused where the key opens nothing of what is kept.
    """
    try:
        with context.writing() as session:
            row = session.get(SealCheckRow, ONLY, with_for_update=True)
            secrets = session.scalars(select(WebhookRow.secret).where(WebhookRow.secret != "")) if row is None else ()
            kept = [row.sealed] if row is not None else [each for each in secrets if not each.startswith(PREFIX)]
            if kept and not lost and not any(_opens(context.seal, each) for each in kept):
                raise _another_key()
            if row is None:  # added, never merged: what another machine wrote meanwhile is not overwritten
                sealed = context.seal.shut(CHECKED)
                session.add(SealCheckRow(id=ONLY, sealed=sealed, sealed_at=context.clock()))
            elif not context.seal.is_newest(row.sealed):
                row.sealed, row.sealed_at = context.seal.shut(CHECKED), context.clock()
    except IntegrityError:  # another machine begins at the same moment
        check_key(context)


def _opens(seal: Seal, kept: str) -> bool:
    try:
        seal.open(kept)
    except Shut:
        return False
    return True


def _another_key() -> Refused:
    said = say("does not open what this database keeps sealed: all machines share one key")
    told = say(
        "the key of the machine that began (ESTIMATOR_SECRETS_KEY there, else secrets.key in its data folder); "
        "where it is lost for good, start once with {setting} and have webhooks given new secrets (rotate-secret)",
        setting=KEY_LOST,
    )
    return Refused(say("another key than that of the database"), [Fault("ESTIMATOR_SECRETS_KEY", said, told)])


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
