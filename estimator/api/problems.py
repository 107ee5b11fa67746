"""Refusals as application/problem+json. Source: RFC 9457."""

from __future__ import annotations

from typing import Any

import structlog
from flask import Flask, Response, g
from flask import request as http_request
from werkzeug.exceptions import HTTPException

from estimator.api.replies import dump
from estimator.contract.problems.documents import problem_document, refusal_document
from estimator.contract.problems.refusals import NoKey, TooMany, WrongMedia
from estimator.contract.problems.table import BY_STATUS, SERVER_FAULT
from estimator.errors import EstimatorError, NotAllowed

MEDIA = "application/problem+json"
log = structlog.get_logger("estimator")


def register_problems(app: Flask) -> None:
    """Every refusal and every fault of the app answers as a problem."""
    app.register_error_handler(EstimatorError, refused)
    app.register_error_handler(HTTPException, http_fault)
    app.register_error_handler(Exception, broken)


def refused(refusal: EstimatorError) -> Response:
    """A refusal as an answer."""
    document = refusal_document(refusal)
    if document["status"] >= 500:
        log.error("refusal without a row", exc_info=refusal)
    response = _answer(document)
    if isinstance(refusal, NoKey):
        response.headers["WWW-Authenticate"] = 'Bearer realm="estimator"'
    if isinstance(refusal, NotAllowed):
        response.headers["WWW-Authenticate"] = 'Bearer realm="estimator", error="insufficient_scope"'
    if isinstance(refusal, TooMany):
        response.headers["Retry-After"] = str(refusal.seconds)
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
    response = _answer({**problem_document(kind, detail), "status": status})
    allow = dict(fault.get_headers()).get("Allow")
    if allow:
        response.headers["Allow"] = allow
    return response


def broken(fault: Exception) -> Response:
    """A fault of ours: logged whole, told without detail."""
    log.error("fault", exc_info=fault)
    return _answer(problem_document(SERVER_FAULT, ""))


def _answer(document: dict[str, Any]) -> Response:
    request_id = getattr(g, "request_id", "")
    document = {**document, "instance": http_request.path[:400], "request_id": request_id}
    response = Response(dump(document), document["status"], content_type=MEDIA)
    response.headers["Cache-Control"] = "no-store"
    return response
