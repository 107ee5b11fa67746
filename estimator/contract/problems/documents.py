"""Refusals as the members of a problem. Source: RFC 9457."""

from __future__ import annotations

from typing import Any

from estimator.contract.problems.table import SERVER_FAULT, ProblemKind, kind_of
from estimator.errors import EstimatorError, Fault, Finding, Refused
from estimator.service.quotes import ChecksStand

MOST = 50


def problem_document(kind: ProblemKind, detail: str, **more: Any) -> dict[str, Any]:
    """The members of a problem; also what the command line prints."""
    return {
        "type": f"/problems/{kind.name}",
        "title": kind.title,
        "status": kind.status,
        "detail": detail,
        **more,
    }


def refusal_document(refusal: EstimatorError) -> dict[str, Any]:
    """A refusal as a problem, with its faults or standing checks, at most fifty and then a count."""
    kind = kind_of(refusal)
    if kind is SERVER_FAULT:
        return problem_document(kind, "")
    more: dict[str, Any] = {}
    if isinstance(refusal, Refused):
        more = {"errors": [fault_entry(each) for each in refusal.faults[:MOST]]}
        more |= _uncounted(len(refusal.faults))
    elif isinstance(refusal, ChecksStand):
        more = {"checks": [_check(each) for each in refusal.checks[:MOST]]} | _uncounted(len(refusal.checks))
    return problem_document(kind, str(refusal), **more)


def fault_entry(fault: Fault) -> dict[str, str]:
    """One fault as an entry of ``errors``."""
    entry = {"pointer": fault.pointer, "detail": fault.message}
    return entry | ({"allowed": fault.allowed} if fault.allowed else {})


def _uncounted(count: int) -> dict[str, int]:
    return {"error_count": count} if count > MOST else {}


def _check(check: Finding) -> dict[str, Any]:
    return {
        "code": check.code,
        "where": check.where,
        "message": check.message,
        "found": check.found,
        "allowed": check.allowed,
    }
