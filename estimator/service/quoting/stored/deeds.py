"""What may be done to a quote now: by its state, its validity, its later revisions, and the role of whoever asks.

The functions that change a quote refuse by the same rules, so that what is offered and what is done never differ.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from estimator.sentences import Sentence, day, say
from estimator.service.access.scopes import may
from estimator.service.context import Client
from estimator.service.quoting.stored.lists import QuoteListing
from estimator.service.quoting.stored.quotes import StoredQuote

Deed = Literal["revise", "issue", "approve", "answer", "order"]
SCOPES: dict[Deed, str] = {
    "revise": "quotes:write",
    "issue": "quotes:issue",
    "approve": "quotes:approve",
    "answer": "quotes:answer",
    "order": "orders:write",
}
TAKES_ITS_PLACE = frozenset({"issued", "accepted"})
"""States of a later revision that leave nothing to be said of those before."""


@dataclass(frozen=True, slots=True)
class Deeds:
    """What whoever asks may do to a quote; ``not_issued`` says why a draft cannot be issued as it is."""

    allowed: frozenset[Deed]
    not_issued: Sentence | None = None


def deeds_of(client: Client, card: StoredQuote, revisions: Sequence[QuoteListing], today: date) -> Deeds:
    """What may be done to a quote that has these revisions, its own among them."""
    later = [each.revision for each in revisions if each.revision > card.revision and each.state in TAKES_ITS_PLACE]
    against = against_issuing(card.state, card.valid_until, today, (card.number, max(later, default=None)))
    stands: dict[Deed, bool] = {
        "revise": True,
        "issue": against is None,
        "approve": card.waits_for_approval,
        "answer": against_answering(card.state) is None,
        "order": card.waits_to_be_ordered,
    }
    allowed = frozenset(deed for deed, holds in stands.items() if holds and may(client, SCOPES[deed]))
    return Deeds(allowed, against if card.state == "draft" else None)


def against_issuing(state: str, valid_until: date, today: date, taken: tuple[str, int | None]) -> Sentence | None:
    """Why a quote cannot be issued, checks and approvals aside; ``taken``: its number, and what took its place."""
    number, newer = taken
    if state != "draft":
        return say("only a draft can be issued; this quote is {state}", state=Sentence(state))
    if valid_until < today:
        return say("its validity ended on {valid_until}; revise it to price it again", valid_until=day(valid_until))
    if newer is not None:
        return say("revision {newer} of {number} has taken its place; revise that one", newer=newer, number=number)
    return None


def against_answering(state: str, answer: str = "accepted") -> Sentence | None:
    """Why a customer's answer cannot be written down."""
    if state == "issued":
        return None
    return say(
        "only an issued quote can be {answer}; this one is {state}", answer=Sentence(answer), state=Sentence(state)
    )
