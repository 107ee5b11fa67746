"""Events, webhooks and their deliveries."""

from __future__ import annotations

from typing import Any, ClassVar

from estimator.contract.answers.fields import Each, Link, Moment, OneWord, Values, Whole, Words
from estimator.contract.answers.jobs import UUID
from estimator.contract.answers.writing import Answer, Entry, Telling, Told
from estimator.service.outbox.deliveries import DeliveryTry, StoredDelivery
from estimator.service.outbox.events import KINDS, StoredEvent
from estimator.service.outbox.webhooks import MadeWebhook, StoredWebhook
from estimator.storage.tables import DELIVERY_STATES, WEBHOOK_STATES

EXAMPLE = {
    "quote": UUID,
    "number": "Q-2027-00042",
    "revision": 1,
    "state": "issued",
    "links": {"quote": f"/v1/quotes/{UUID}"},
}


class EventData(Told):
    """Ids, state and links of what an event is about."""

    shape: ClassVar[Entry] = {"type": "object"}


class EventAnswerSchema(Answer):
    """Something that happened. A webhook is sent ``type``, ``timestamp`` and ``data``; the id is its ``webhook-id``."""

    record: ClassVar[Any] = StoredEvent
    id = Words("The event's id; the same event is never told with another.", format="uuid", example=UUID)
    type = OneWord("What happened.", tuple(KINDS), "kind")
    timestamp = Moment("When.", "at")
    data = EventData("Ids, state and links of what it is about; never a cost.", "document", example=EXAMPLE)


class EventPageSchema(Answer):
    """Events, the oldest first."""

    items = Each("The events, the oldest first.", EventAnswerSchema, "0")
    next = Link(
        "Where what happens after these is; given on every page, so that a client reads on there later.",
        "1",
        example="/v1/events?limit=50&cursor=...",
    )


class WebhookAnswerSchema(Answer):
    """Where somebody wants to be told."""

    record: ClassVar[Any] = StoredWebhook
    id = Words("The webhook's id.", format="uuid", example=UUID)
    url = Words("The address that is told.", example="https://crm.example.org/hooks/estimator")
    kinds = Values(
        "Kinds of events told; null is all.",
        {"type": "string", "enum": list(KINDS)},
        null=True,
        example=["quote.issued"],
    )
    state = OneWord("Whether it is told; it ends when it is deleted, or when it answers 410.", WEBHOOK_STATES)
    created_at = Moment("When it was made.")
    updated_at = Moment("When it was changed last.")


class MadeWebhookSchema(WebhookAnswerSchema):
    """A webhook with the secret just made for it."""

    record: ClassVar[Any] = MadeWebhook
    above = "card"
    secret = Words(
        "The secret of its signatures; null where the same request is answered again, since it is told once.",
        null=True,
        example="whsec_...",
    )


class WebhookPageSchema(Answer):
    """A page of webhooks."""

    items = Each("The webhooks, the newest first.", WebhookAnswerSchema, "0")
    next = Link("Where the next page is; null on the last.", "1", null=True, example="/v1/webhooks?cursor=...")


class AttemptSchema(Answer):
    """One try."""

    record: ClassVar[Any] = DeliveryTry
    at = Moment("When.")
    milliseconds = Whole("How long it took.", example=84)
    status = Whole("What the other side answered; null without an answer.", null=True, least=100, example=204)
    fault = Words("Why there was no answer; null where there was one.", null=True, example="TimeoutError: timed out")


class DeliveryAnswerSchema(Answer):
    """One event on its way to one webhook."""

    record: ClassVar[Any] = StoredDelivery
    id = Words("The delivery's id.", format="uuid", example=UUID)
    event = Words("The event's id.", "event_id", format="uuid", example=UUID)
    type = OneWord("What happened.", tuple(KINDS), "kind")
    subject = Words("Events of one subject are delivered in their order.", example="Q-2027-00042")
    state = OneWord("How far it is.", DELIVERY_STATES)
    next_at = Moment("When it is tried next; null where it is not.", null=True)
    created_at = Moment("When the event happened.")
    attempts = Each("Every try so far.", AttemptSchema)


class DeliveryPageSchema(Answer):
    """A page of the log of a webhook."""

    items = Each("The deliveries, the newest first.", DeliveryAnswerSchema, "0")
    next = Link("Where the next page is; null on the last.", "1", null=True, example="/v1/webhooks/...")


def webhook_entry(card: StoredWebhook) -> Entry:
    """A webhook without its secret."""
    return WebhookAnswerSchema.entry(card, Telling())


def made_webhook_entry(made: MadeWebhook) -> Entry:
    """A webhook with its secret."""
    return MadeWebhookSchema.entry(made, Telling())


def delivery_entry(delivery: StoredDelivery) -> Entry:
    """A delivery with its tries."""
    return DeliveryAnswerSchema.entry(delivery, Telling())


def described_webhooks() -> dict[str, Any]:
    """What is sent to webhooks, in the words of OpenAPI 3.1."""
    members = {"$ref": "#/components/schemas/EventAnswer"}
    headers = ("webhook-id", "webhook-timestamp", "webhook-signature")
    parameters = [
        {"in": "header", "name": name, "required": True, "schema": {"type": "string"}, "description": _HEADERS[name]}
        for name in headers
    ]
    return {
        kind: {
            "post": {
                "summary": about,
                "description": ABOUT,
                "parameters": parameters,
                "requestBody": {"required": True, "content": {"application/json": {"schema": _told(members, kind)}}},
                "responses": {
                    "2XX": {"description": "Taken; what is done with it comes later."},
                    "410": {"description": "Not wanted any more: the webhook ends."},
                },
            }
        }
        for kind, about in KINDS.items()
    }


ABOUT = (
    "Sent at least once, in order for each quote, signed by Standard Webhooks. Any answer but 2xx within 15 s is tried "
    "again after 5 s, 5 and 30 min, 2, 5, 10, 14, 20 and 24 h, each within a fifth."
)
_HEADERS = {
    "webhook-id": "The event's id: what came before is to be taken once.",
    "webhook-timestamp": "Seconds since 1970 at this try; refuse what is older than some minutes.",
    "webhook-signature": "One or two signatures, v1 and HMAC-SHA256 of id, timestamp and body, with blanks between.",
}


def _told(whole: dict[str, Any], kind: str) -> dict[str, Any]:
    """Of an event, what a webhook is sent: without its id, which is in the header."""
    properties = {name: {"$ref": f"{whole['$ref']}/properties/{name}"} for name in ("timestamp", "data")}
    return {
        "type": "object",
        "properties": {"type": {"type": "string", "const": kind}, **properties},
        "required": ["type", "timestamp", "data"],
    }
