"""/v1/audit: who did what, when, from where; append-only."""

from __future__ import annotations

from typing import Any

from flask import Response

from estimator.api.paging import page, since
from estimator.api.replies import Reply, send_bytes
from estimator.api.request import Request
from estimator.api.routes import Options, Routes
from estimator.contract.answers.organisation.audit import AuditPageSchema, audit_csv
from estimator.contract.requests.queries import AuditExportQuerySchema, AuditQuerySchema
from estimator.service.access import audit
from estimator.service.access.audit import AuditFilter

routes = Routes("Audit", "Who did what, when, from where; nothing of it is ever changed.")
CSV = "text/csv"


@routes.add(
    "GET",
    "/audit",
    "audit:read",
    "The audit log, the newest lines first",
    Options(query=AuditQuerySchema, gives={200: AuditPageSchema}),
)
def list_audit(request: Request) -> Reply:
    """A page of the log."""
    return page(
        request,
        "/v1/audit",
        lambda before, limit: audit.list_lines(
            request.context, request.client, _filter(request), before=before, limit=limit
        ),
        AuditPageSchema,
    )


@routes.add(
    "GET",
    "/audit.csv",
    "audit:read",
    "The audit log for a spreadsheet, the oldest lines first",
    Options(query=AuditExportQuerySchema, documents=(CSV,), unversioned=True),
)
def export_audit(request: Request) -> Response:
    """The lines asked for, whole."""
    lines = audit.export_lines(request.context, request.client, _filter(request))
    return send_bytes(audit_csv(lines), CSV, "audit.csv")


def _filter(request: Request) -> AuditFilter:
    asked: dict[str, Any] = {name: request.query.get(name) for name in AuditFilter.__dataclass_fields__}
    return AuditFilter(**{**asked, "since": since(request)})
