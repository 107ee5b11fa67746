"""The form of a house's policy: two percentages for each role."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, TypeAlias

from estimator.documents.language.texts import mark
from estimator.errors import Fault
from estimator.web.forms.entries import FormEntry
from estimator.web.forms.views import FieldView

Document: TypeAlias = Any
LIMITS = (
    FormEntry("most_discount", mark("Largest discount on its own"), "percent", units=("%", "%")),
    FormEntry("least_margin", mark("Least margin on its own"), "percent", units=("%", "%")),
)


def limit_rows(
    document: Document, roles: Iterable[str], faults: Iterable[Fault] = ()
) -> dict[str, tuple[FieldView, ...]]:
    """The fields of each role, with what stands in them and what is wrong with it."""
    told = {str(fault.pointer): str(fault.message) for fault in faults}
    limits = document.get("limits") or {}
    return {
        role: tuple(
            FieldView(
                f"limits/{role}/{entry.path}",
                entry,
                entry.unit(us=False),
                entry.shown((limits.get(role) or {}).get(entry.path), us=False),
                told.get(f"/limits/{role}/{entry.path}", ""),
            )
            for entry in LIMITS
        )
        for role in roles
    }


def document_of(form: Mapping[str, str], before: Document, roles: Iterable[str]) -> Document:
    """The policy that was typed; an empty field is no limit."""
    limits: dict[str, dict[str, Document]] = {}
    for role in roles:
        kept = (before.get("limits") or {}).get(role) or {}
        read = {
            entry.path: entry.read(form.get(f"limits/{role}/{entry.path}", ""), kept.get(entry.path), us=False)
            for entry in LIMITS
        }
        limits[role] = {name: share for name, share in read.items() if share is not None}
    return {
        "limits": {role: said for role, said in limits.items() if said},
        "editions_need_approval": form.get("editions_need_approval") == "yes",
    }
