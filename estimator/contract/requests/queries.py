"""What stands after the question mark: texts that are read as strictly as a body."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

from marshmallow import RAISE, Schema, fields

from estimator.contract.faults import disallowed
from estimator.contract.requests.fields import Day, OneOf, Text, Word, described
from estimator.errors import Fault, Refused
from estimator.pricebook.against import ALARM_SHARE
from estimator.sentences import say
from estimator.service.outbox.events import KINDS
from estimator.service.quoting.edition_effects import MOST_LISTED
from estimator.storage.tables import QUOTE_STATES

PARTS = ("runs", "loads", "reactions", "cut_plan", "derivations", "choices", "all_checks")
"""What of a quote is told where it is asked for."""
DEFAULT_LIMIT, MOST = 50, 200
_ID = "0193a5c2-7b1e-7c3d-9f00-1a2b3c4d5e6f"
_MOMENT = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}[Tt][0-9]{2}:[0-9]{2}:[0-9]{2}(\.[0-9]{1,6})?([Zz]|[+-][0-9]{2}:[0-9]{2})\Z", re.ASCII
)
ID_PATTERN = "[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}"


class QueryRefused(Refused):
    """A query parameter is unknown, given twice or out of range."""


class Limit(fields.Field[int]):
    """How many of a list: a text of digits, from 1 on."""

    def __init__(self, most: int = MOST, **kwargs: Any) -> None:
        super().__init__(**described(kwargs, type="integer", minimum=1, maximum=most))
        self.most = most

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> int:
        if isinstance(value, str) and value.isascii() and value.isdigit() and 1 <= int(value[:9]) <= self.most:
            return int(value)
        raise disallowed(
            say("{value} is not allowed here", value=repr(str(value)[:20])), say("1 to {most}", most=self.most)
        )


class Instant(fields.Field[datetime]):
    """A moment as RFC 3339 writes it, with its zone."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**described(kwargs, type="string", format="date-time"))

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> datetime:
        try:
            if isinstance(value, str) and _MOMENT.match(value):
                return datetime.fromisoformat(value.upper()).astimezone(UTC)
        except (ValueError, OverflowError):
            pass
        raise disallowed(say("not a moment"), say("such as 2027-03-15T09:30:00Z (a + of the zone is %2B)"))


class AlarmShare(fields.Field[Decimal]):
    """A share above nothing, as digits."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**described(kwargs, type="string", pattern=r"^[0-9]{1,4}(\.[0-9]{1,6})?$"))

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> Decimal:
        if isinstance(value, str) and re.fullmatch(r"[0-9]{1,4}(\.[0-9]{1,6})?", value, re.ASCII):
            return Decimal(value)
        raise disallowed(say("not a share"), say("such as 0.1 for 10 %"))


class UnknownPart(QueryRefused):
    """A part of an answer is asked for that there is not."""


class Parts(fields.Field[tuple[str, ...]]):
    """Parts of an answer by their names, with commas between; each once, in the order of their names."""

    def __init__(self, *names: str, **kwargs: Any) -> None:
        one = f"({'|'.join(names)})"
        super().__init__(**described(kwargs, type="string", pattern=f"^{one}(,{one})*$"))
        self.names = names

    def _deserialize(
        self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any
    ) -> tuple[str, ...]:
        asked = set(str(value).split(","))
        unknown = sorted(asked - {*self.names})
        if unknown:
            shown = ", ".join(repr(each[:40]) for each in unknown)
            raise UnknownPart(
                say("no part {shown}", shown=shown),
                [Fault("/include", say("no part {shown}", shown=shown), ", ".join(self.names))],
            )
        return tuple(name for name in self.names if name in asked)


class NoQuerySchema(Schema):
    """No parameter at all."""

    class Meta:
        """Unknown parameters are faults."""

        unknown = RAISE


class PageSchema(NoQuerySchema):
    """A page of a list."""

    limit = Limit(load_default=DEFAULT_LIMIT, about="How many at most.", example=50)
    cursor = Text(200, shortest=1, about="Where the page begins: from the link to the next page of the page before.")


class ChangedPageSchema(PageSchema):
    """A page of a list, or of what of it is new."""

    updated_since = Instant(
        about="Only what was made or changed at or after this moment.", example="2027-03-01T00:00:00Z"
    )


class EditionsQuerySchema(NoQuerySchema):
    """All editions, or what of them is new."""

    updated_since = Instant(
        about="Only what was put in, decided on, or (in folders) written at or after this moment.",
        example="2027-03-01T00:00:00Z",
    )


class EventsQuerySchema(ChangedPageSchema):
    """Events, the oldest first, from where the page before ended; none changes, so both moments mean the same."""

    kind = OneOf(*KINDS, about="Only events of this kind.", example="quote.issued")
    since = Instant(about="Only what happened at or after this moment.", example="2027-03-01T00:00:00Z")


class JobsQuerySchema(ChangedPageSchema):
    """A page of jobs."""

    reference = Text(200, shortest=1, about="Only the job of this reference.", example="CRM-2041")


class OperationsQuerySchema(ChangedPageSchema):
    """A page of operations."""

    state = OneOf(
        "queued",
        "running",
        "succeeded",
        "failed",
        "cancelled",
        about="Only operations in this state.",
        example="running",
    )


class QuotesQuerySchema(ChangedPageSchema):
    """A page of quotes."""

    job = Word(
        ID_PATTERN,
        "a job's id",
        longest=36,
        about="Only quotes of this job.",
        example="0193a5c2-7b1e-7c3d-9f00-1a2b3c4d5e6f",
    )
    state = OneOf(*QUOTE_STATES, about="Only quotes in this state.", example="issued")


class AuditExportQuerySchema(NoQuerySchema):
    """Which lines of the audit log."""

    since = Instant(about="Only what was done at or after this moment.", example="2027-03-01T00:00:00Z")
    until = Instant(about="Only what was done before this moment.", example="2027-04-01T00:00:00Z")
    action = Text(80, shortest=1, about="Only actions of this kind.", example="quote.issued")
    thing = Text(200, shortest=1, about="Only what was done to the thing of this id.", example=_ID)
    who = Text(36, shortest=1, about="Only what the client or account of this id did.", example=_ID)


class AuditQuerySchema(AuditExportQuerySchema, ChangedPageSchema):
    """A page of the audit log; no line changes, so ``since`` and ``updated_since`` mean the same."""


class EditionDifferencesQuerySchema(NoQuerySchema):
    """Which edition to compare with, and what is an alarm."""

    with_edition = Text(
        80, shortest=1, required=True, data_key="with", about="The edition to compare with.", example="2026-11"
    )
    alarm = AlarmShare(
        load_default=ALARM_SHARE, about="A cost that moves by more than this share is an alarm.", example="0.1"
    )
    quotes = Limit(
        load_default=MOST_LISTED, most=10_000, about="How many open quotes to list; all are counted.", example=200
    )


class PriceListQuerySchema(NoQuerySchema):
    """Whose list it is, and the edition it makes."""

    supplier = Text(80, shortest=1, required=True, about="The supplier's code in the book.", example="zwirnfels")
    new_edition = Word(
        "[A-Za-z0-9][A-Za-z0-9._-]*",
        "letters, digits, points, strokes",
        longest=80,
        required=True,
        about="Name of the edition that it makes.",
        example="2027-02",
    )
    valid_from = Day(required=True, about="The first day on which that is in force.", example="2027-02-01")
    valid_until = Day(required=True, about="The last day on which that is in force.", example="2027-12-31")


class EditionQuerySchema(NoQuerySchema):
    """Which edition of a document."""

    edition = OneOf(
        "estimator",
        "customer",
        about="For whom the document is; without it, for whom the key's role may see.",
        example="customer",
    )


class OneEditionQuerySchema(NoQuerySchema):
    """For a document that is the same for everybody."""

    edition = OneOf("customer", about="This document has one edition, which the customer may see.", example="customer")


class OptionPaperQuerySchema(OneEditionQuerySchema):
    """For a document of one option of a quote."""

    option = OneOf(
        "A",
        "B",
        "C",
        about="Letter of the option that it shows; without it the one that was accepted, else the quoted one (A).",
        example="B",
    )


class WorkbookQuerySchema(NoQuerySchema):
    """What becomes of a workbook whose quote was revised meanwhile."""

    merge = OneOf(
        "true",
        "false",
        load_default="false",
        about="Whether changes are laid over a revision made meanwhile, where both touch other cells.",
        example="true",
    )


class DifferencesQuerySchema(NoQuerySchema):
    """Which quote to compare with."""

    with_quote = Word(
        ID_PATTERN,
        "a quote's id",
        longest=36,
        required=True,
        data_key="with",
        about="Id of the quote to compare with.",
        example="0193a5c2-7b1e-7c3d-9f00-1a2b3c4d5e6f",
    )


class QuoteQuerySchema(EditionQuerySchema):
    """Which edition of a document, or which parts of the JSON answer."""

    include = Parts(
        *PARTS,
        load_default=(),
        about="What the answer has beyond its summary; several with commas between.",
        example="runs,loads",
    )
