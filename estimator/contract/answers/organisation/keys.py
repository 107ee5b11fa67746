"""Keys: what may be shown of them, and a new one whole, once."""

from __future__ import annotations

from typing import Any, ClassVar

from estimator.contract.answers.fields import Each, Link, Moment, OneWord, Words
from estimator.contract.answers.jobs import UUID
from estimator.contract.answers.writing import Answer, Entry, Telling
from estimator.service.access.keys import KeySummary, MadeKey
from estimator.storage.roles import ROLES

STATES = ("live", "expired", "revoked")


class KeyAnswerSchema(Answer):
    """What may be shown of a key."""

    record: ClassVar[Any] = KeySummary
    id = Words("The key's id.", format="uuid", example=UUID)
    client = Words("The client it stands for: the same for a key and those that replace it.", example=UUID)
    begins_with = Words("How the key begins.", lambda it, _to: f"est_{it.prefix}_", example="est_0k3v9x2a7q_")
    role = OneWord("What it may do.", ROLES)
    name = Words("Who or what uses it.", example="Estimating desk")
    state = OneWord("Whether it opens anything.", STATES)
    created_at = Moment("When it was made.")
    expires_at = Moment("From when on it opens nothing.")
    revoked_at = Moment("When it was revoked; null if it was not.", null=True)
    last_used_at = Moment("When it was used last, to the hour; null if never.", null=True)


class MadeKeySchema(KeyAnswerSchema):
    """A key that was just made."""

    record: ClassVar[Any] = MadeKey
    above = "card"
    key = Words(
        "The key itself; null where the same request is answered again, since it is shown once and never kept.",
        "token",
        null=True,
        example="est_0k3v9x2a7q_...",
    )


class KeyPageSchema(Answer):
    """A page of keys."""

    items = Each("The keys, the newest first.", KeyAnswerSchema, "0")
    next = Link("Where the next page is; null on the last.", "1", null=True, example="/v1/keys?limit=50&cursor=...")


def key_entry(card: KeySummary) -> Entry:
    """What may be shown of a key."""
    return KeyAnswerSchema.entry(card, Telling())


def made_key_entry(made: MadeKey) -> Entry:
    """A new key, whole."""
    return MadeKeySchema.entry(made, Telling())
