"""Refusals as the members of a problem. Source: RFC 9457."""

from __future__ import annotations

from dataclasses import dataclass, replace

from estimator.contract.answers.fields import Each, Link, NumberOrText, OneWord, PlaceTold, Whole, Words
from estimator.contract.answers.writing import Answer, Entry, Telling
from estimator.contract.fault_codes import CODES, OTHER, code_of, refusal_code, refusals
from estimator.contract.problems.kind import ProblemKind
from estimator.contract.problems.table import SERVER_FAULT, kind_of, kinds
from estimator.errors import EstimatorError, Fault, Finding, Refused, StaleWorkbook
from estimator.service.quoting.quotes import ChecksStand

MOST = 50
PROBLEM_CODES = tuple(sorted({*refusals.CODES, *(name.replace("-", "_") for name in kinds())}))
FAULT_CODES = tuple(sorted({*CODES, OTHER}))


@dataclass(frozen=True, slots=True)
class Problem:
    """What went wrong: its kind, in words, with faults or standing checks, at most fifty and then a count.

    ``status`` is the kind's, unless HTTP has a nearer one; ``instance`` and ``request_id`` are known over HTTP only.
    """

    kind: ProblemKind
    detail: str
    status: int
    faults: tuple[Fault, ...] | None = None
    checks: tuple[tuple[str, Finding], ...] | None = None
    instance: str | None = None
    request_id: str | None = None

    @property
    def uncounted(self) -> int | None:
        """How many there are, where not all are told."""
        count = len(self.faults or self.checks or ())
        return count if count > MOST else None


class FaultSchema(Answer):
    """One fault with its place."""

    record = Fault
    pointer = Words(
        "Where it is: a JSON Pointer (RFC 6901), or for a pricebook's files file, row and column in words.",
        example="/roofs/0/slope",
    )
    file = Words(
        "The file of a pricebook that it is in; left out for other inputs.",
        lambda it, _to: it.file or None,
        optional=True,
        example="brackets.csv",
    )
    row = Whole(
        "The row of that file as a spreadsheet counts; left out where no row is meant.",
        lambda it, _to: getattr(it.pointer, "row", None),
        optional=True,
        example=4,
    )
    column = Words(
        "The column of that row, or the key of the file.",
        lambda it, _to: getattr(it.pointer, "column", "") or None,
        optional=True,
        example="max_span",
    )
    code = OneWord(
        "The kind of fault, a stable name for programs; other where it has none of its own.",
        FAULT_CODES,
        lambda it, _to: code_of(it),
    )
    detail = Words("What is wrong.", "message", example="95 deg is out of range")
    allowed = Words(
        "What is allowed there; left out where nothing can be said.",
        lambda it, _to: it.allowed or None,
        optional=True,
        example="0 to 89 deg",
    )


class StandingCheckSchema(Answer):
    """One check that keeps a quote from being issued."""

    record = tuple[str, Finding]
    code = Words("Its stable name.", "1.code", example="rail_overhang")
    where = Words("Its place, for people.", "1.where", example="South / A / row 3 / rail 1")
    place = PlaceTold("Its place as facts; an override names code and place, and may name the option.", "1.place")
    message = Words("What, where, found and allowed, in words.", "1.message", example="overhang 420 mm, 350 mm allowed")
    found = NumberOrText("What was found.", "1.found", null=True, example=420.0)
    allowed = NumberOrText("What is allowed.", "1.allowed", null=True, example=350.0)
    option = Words(
        "Letter of the option whose check it is; left out where the quote has no options.",
        lambda it, _to: it[0] or None,
        optional=True,
        example="B",
    )


class ProblemSchema(Answer):
    """What went wrong (RFC 9457)."""

    record = Problem
    type = Link(
        "The kind of problem; the address explains it.",
        lambda it, _to: f"/problems/{it.kind.name}",
        example="/problems/invalid-job",
    )
    code = OneWord(
        "What happened, a stable name for programs: a kind of problem may have several, such as the conflicts.",
        PROBLEM_CODES,
        lambda it, _to: refusal_code(it.detail, it.kind.name),
    )
    title = Words("The kind in a few words.", "kind.title", example="The job cannot be read or contradicts itself")
    status = Whole("The status of HTTP.", least=400, maximum=599, example=422)
    detail = Words("What went wrong here.", example="2 faults; the first at /roofs/0/slope: 95 deg is out of range")
    errors = Each(
        "The faults, at most fifty.",
        FaultSchema,
        lambda it, _to: None if it.faults is None else it.faults[:MOST],
        optional=True,
    )
    checks = Each(
        "The failed checks, at most fifty.",
        StandingCheckSchema,
        lambda it, _to: None if it.checks is None else it.checks[:MOST],
        optional=True,
    )
    error_count = Whole("How many there are, where there are more than fifty.", "uncounted", optional=True, example=73)
    instance = Link("The address that was called.", optional=True, example="/v1/jobs")
    request_id = Words(
        "What the service's log knows the request by.", optional=True, example="0af7651916cd43dd8448eb211c80319c"
    )


def problem_of(refusal: EstimatorError) -> Problem:
    """A refusal as a problem, with its faults or standing checks."""
    kind = kind_of(refusal)
    if kind is SERVER_FAULT:
        return Problem(kind, "", kind.status)
    problem = Problem(kind, refusal.told, kind.status)
    if isinstance(refusal, (Refused, StaleWorkbook)):
        return replace(problem, faults=refusal.faults)
    if isinstance(refusal, ChecksStand):
        return replace(problem, checks=refusal.checks)
    return problem


def problem_entry(problem: Problem) -> Entry:
    """The members of a problem; also what the command line prints."""
    return ProblemSchema.entry(problem, Telling())
