"""Refusals as application/problem+json. Source: RFC 9457."""

from __future__ import annotations

from dataclasses import replace
from urllib.parse import quote

import structlog
from flask import Flask, Response, g
from flask import request as http_request
from werkzeug.exceptions import HTTPException

from estimator.api.problems.database_faults import refusal_of
from estimator.api.transport.wsgi import REFUSAL
from estimator.contract.answers.writing import dump
from estimator.contract.problems.documents import Problem, problem_entry, problem_of
from estimator.contract.problems.refusals import NoKey, WrongMedia
from estimator.contract.problems.table import BY_STATUS, SERVER_FAULT
from estimator.errors import EstimatorError, NotAllowed
from estimator.tasks.hang_up import NobodyWaits

MEDIA = "application/problem+json"
ABANDONED = 499
"""A status that is never sent. Common practice of web servers, no source."""
log = structlog.get_logger("estimator")


def register_problems(app: Flask) -> None:
    """Every refusal and every fault of the app answers as a problem."""
    app.register_error_handler(EstimatorError, refused)
    app.register_error_handler(HTTPException, http_fault)
    app.register_error_handler(NobodyWaits, abandoned)
    app.register_error_handler(Exception, broken)
    app.before_request(refused_already)


def refused_already() -> None:
    """What was refused before its body was whole is told like everything else."""
    if REFUSAL in http_request.environ:
        raise http_request.environ[REFUSAL]


def abandoned(_nobody: NobodyWaits) -> Response:
    """The client hung up: the answer reaches nobody and is only marked in log and metrics."""
    return Response(status=ABANDONED)


def refused(refusal: EstimatorError) -> Response:
    """A refusal as an answer."""
    problem = problem_of(refusal)
    if problem.status >= 500 and refusal.retry_after is None:
        log.error("refusal without a row", exc_info=refusal)
    response = _answer(problem)
    if isinstance(refusal, NoKey):
        response.headers["WWW-Authenticate"] = 'Bearer realm="estimator"'
    if isinstance(refusal, NotAllowed):
        response.headers["WWW-Authenticate"] = 'Bearer realm="estimator", error="insufficient_scope"'
    if refusal.retry_after is not None:
        response.headers["Retry-After"] = str(refusal.retry_after)
    if isinstance(refusal, WrongMedia):
        response.headers["Accept-Patch" if http_request.method == "PATCH" else "Accept-Post"] = ", ".join(refusal.taken)
    return response


def http_fault(fault: HTTPException) -> Response:
    """What the framework refuses, as a problem; its headers stay."""
    status = fault.code or 500
    if status < 400:
        response = fault.get_response()
        return Response(response.get_data(), status, list(response.headers))
    kind = BY_STATUS.get(status) or BY_STATUS[400 if status < 500 else 500]
    detail = "" if status >= 500 else str(fault.description or "")
    response = _answer(Problem(kind, detail, status))
    allow = dict(fault.get_headers()).get("Allow")
    if allow:
        response.headers["Allow"] = allow
    return response


def broken(fault: Exception) -> Response:
    """An internal fault, logged in full, reported without detail; a database that is busy or gone is not one."""
    refusal = refusal_of(fault)
    if refusal is not None:
        log.warning("database", problem=type(refusal).__name__, error=str(fault.__cause__ or fault)[:400])
        return refused(refusal)
    log.error("fault", exc_info=fault)
    return _answer(Problem(SERVER_FAULT, "", SERVER_FAULT.status))


def _answer(problem: Problem) -> Response:
    told = replace(problem, instance=quote(http_request.path[:400]), request_id=getattr(g, "request_id", ""))
    response = Response(dump(problem_entry(told)), problem.status, content_type=MEDIA)
    response.headers["Cache-Control"] = "no-store"
    return response
