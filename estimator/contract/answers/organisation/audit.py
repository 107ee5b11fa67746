"""The audit log, as JSON and as CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from typing import Any, ClassVar

from estimator.contract.answers.fields import Each, Link, Moment, One, OneWord, Words, instant
from estimator.contract.answers.jobs import UUID
from estimator.contract.answers.writing import Answer, Entry, Told, dump
from estimator.documents.csv_text import encoded, inert
from estimator.service.access.audit import AuditLine
from estimator.service.context import Who
from estimator.storage.tables import WHO_KINDS

COLUMNS = (
    "at",
    "action",
    "thing",
    "thing_id",
    "who_kind",
    "who_id",
    "who",
    "role",
    "key",
    "address",
    "request_id",
    "detail",
)


class WhoSchema(Answer):
    """Who did it."""

    record: ClassVar[Any] = Who
    kind = OneWord("A key, a person's account, the command line, or the service by itself.", WHO_KINDS)
    id = Words("The client or account; empty for the command line and the service.", example=UUID)
    name = Words("The name at that time.", example="Estimating desk")
    role = Words("The role at that time.", example="estimator")


class Detail(Told):
    """What else is known: names and values of an action."""

    shape: ClassVar[Entry] = {"type": "object"}


class AuditLineSchema(Answer):
    """One action."""

    record: ClassVar[Any] = AuditLine
    id = Words("The line's id; later ones sort after it.", format="uuid", example=UUID)
    at = Moment("When.")
    action = Words("What was done.", example="quote.issued")
    thing = Words("To what kind of thing.", "thing.kind", example="quote")
    thing_id = Words("To which.", "thing.id", example=UUID)
    who = One("Who did it.", WhoSchema)
    key = Words("The key it was done with; null without one.", "key_id", null=True, example=UUID)
    address = Words("From which address of the network; empty where there was none.", example="192.0.2.7")
    request_id = Words("The request, as log and answer name it.", example="a1b2c3")
    detail = Detail(
        "What else is known of it; null if nothing.", null=True, example={"number": "Q-2027-00042", "revision": 1}
    )


class AuditPageSchema(Answer):
    """A page of the audit log."""

    items = Each("The lines, the newest first.", AuditLineSchema, "0")
    next = Link("Where the next page is; null on the last.", "1", null=True, example="/v1/audit?limit=50&cursor=...")


def audit_csv(lines: Iterable[AuditLine]) -> bytes:
    """The lines as CSV for people: no cell begins a formula. Source: RFC 4180."""
    stream = io.StringIO()
    writer = csv.writer(stream, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for line in lines:
        writer.writerow([inert(cell) for cell in _cells(line)])
    return encoded(stream.getvalue(), "spreadsheet")


def _cells(line: AuditLine) -> list[str]:
    detail = "" if line.detail is None else dump(line.detail).decode()
    return [
        instant(line.at) or "",
        line.action,
        line.thing.kind,
        line.thing.id,
        line.who.kind,
        line.who.id,
        line.who.name,
        line.who.role,
        line.key_id or "",
        line.address,
        line.request_id,
        detail,
    ]
