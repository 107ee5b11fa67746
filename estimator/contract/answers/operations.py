"""Operations: long work that is answered with where to look for it."""

from __future__ import annotations

from typing import Any

from estimator.contract.answers.fields import Each, Link, Moment, One, OneWord, Whole, Words
from estimator.contract.answers.jobs import UUID
from estimator.contract.answers.writing import ITSELF, Answer, Entry, Telling, Told
from estimator.service.operations import StoredOperation

KINDS = ("estimate", "quote", "revision", "proof", "cut_plan", "repricing", "repricing_drafts", "paper", "order_list")
OPERATION_STATES = ("queued", "running", "succeeded", "failed", "cancelled")
HERE = f"/v1/operations/{UUID}"


class ProblemKept(Told):
    """A problem as it was told when the work failed."""

    def described(self, _converter: Any) -> Entry:
        """A reference to the problem's own schema."""
        return {"anyOf": [{"$ref": "#/components/schemas/Problem"}, {"type": "null"}], **self.told()}


class ProgressSchema(Answer):
    """How far an operation is."""

    record = StoredOperation
    done = Whole("How much is done: quotes, or seconds of a search.", example=40)
    total = Whole("Of how much; null where that is not known.", null=True, example=60)


class OperationLinksSchema(Answer):
    """Where the operation is, and what came of it."""

    record = StoredOperation
    self = Link("This operation; DELETE cancels it.", lambda it, _to: f"/v1/operations/{it.id}", example=HERE)
    result = Link("What it made; null until it has succeeded.", "location", null=True, example=f"/v1/quotes/{UUID}")


class OperationAnswerSchema(Answer):
    """Long work: where it stands."""

    record = StoredOperation
    id = Words("The operation's id.", format="uuid", example=UUID)
    kind = OneWord("What is made.", KINDS)
    state = OneWord("Where it stands.", OPERATION_STATES)
    progress = One("How far it is.", ProgressSchema, ITSELF)
    problem = ProblemKept("Why it failed (RFC 9457); null where it has not.", null=True)
    version = Whole("Goes up by one with every change; its ETag.", least=1, example=3)
    created_at = Moment("When it was asked for.")
    started_at = Moment("When work on it began first; null until then.", null=True)
    updated_at = Moment("When it was heard of last.")
    finished_at = Moment("When it ended; null until then.", null=True)
    links = One("Where the operation is, and what came of it.", OperationLinksSchema, ITSELF)


class OperationPageSchema(Answer):
    """A page of operations."""

    items = Each("The operations, the newest first.", OperationAnswerSchema, "0")
    next = Link(
        "Where the next page is; null on the last.", "1", null=True, example="/v1/operations?limit=50&cursor=..."
    )


def operation_entry(operation: StoredOperation) -> Entry:
    """An operation as it stands."""
    return OperationAnswerSchema.entry(operation, Telling())
