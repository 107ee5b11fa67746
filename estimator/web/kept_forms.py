"""A form that comes after its session has ended: nothing is done, and what was typed is handed back."""

from __future__ import annotations

from flask import Response, request

from estimator.web.visits import FORM_TOKEN, Visit

SECRETS = frozenset({"password", "again", "present"})
"""Fields that no page repeats."""
LOOK = ("do", "look")


def is_from_here() -> bool:
    """Whether the browser says that a page of this service sent the form. Source: W3C Fetch Metadata, from memory."""
    return request.headers.get("Sec-Fetch-Site") == "same-origin"


def kept_form(visit: Visit) -> Response | None:
    """The page that keeps what was typed; None where nothing was, where a secret was, or where another site sent it.

    It takes the person's own button to send it again, under the session that is open then. A file is not kept: a form
    that can show its effect then does only that, and others have to be filled in anew.
    """
    fields = [(name, value) for name, value in visit.form.items(multi=True) if name != FORM_TOKEN]
    files = any(file.filename for file in visit.files.values())
    if not is_from_here() or not (fields or files) or SECRETS & {name for name, _ in fields}:
        return None
    looks = files and "do" in visit.form
    if looks:
        fields = [*((name, value) for name, value in fields if name != "do"), LOOK]
    address = request.full_path.removesuffix("?")
    sends = looks or not files
    status = 401 if visit.person is None else 409
    return visit.page("kept_form.html", status, fields=fields, address=address, files=files, looks=looks, sends=sends)
