"""What a template shows of a form: fields with their values and faults, in groups and rows."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from estimator.web.forms.entries import Document, FormEntry, find
from estimator.web.forms.rows import RowsEntry


@dataclass(frozen=True, slots=True)
class FieldView:
    """One field as it is shown."""

    path: str
    entry: FormEntry
    unit: str
    value: str
    fault: str


@dataclass(frozen=True, slots=True)
class RowView:
    """One row of a list: its number from 1, its fields, and a fault that is the row's as a whole."""

    number: int
    fields: tuple[FieldView, ...]
    fault: str = ""


@dataclass(frozen=True, slots=True)
class RowsView:
    """A list with its rows, the spare ones behind; ``hint`` says what a row is."""

    title: str
    rows: tuple[RowView, ...]
    hint: str = ""

    @property
    def said(self) -> bool:
        """Whether anything in it is filled in, or at fault."""
        return any(row.fault or any(one.value or one.fault for one in row.fields) for row in self.rows)


@dataclass(frozen=True, slots=True)
class GroupView:
    """Fields that belong together; ``path`` names the thing that may be taken away."""

    title: str
    fields: tuple[FieldView, ...]
    path: str = ""
    name: str = ""
    rows: tuple[RowsView, ...] = ()
    folded: bool = False


def rows_view(rows: RowsEntry, listed: Document, fault_at: Callable[[str], str], *, us: bool) -> RowsView:
    """A list's rows as they stand, and the spare ones; ``fault_at`` tells what is at fault at a pointer."""
    made = []
    for at in range(rows.count(listed)):
        base = f"{rows.path}/{at}"
        row = listed[at] if isinstance(listed, list) and at < len(listed) else None
        fields = tuple(
            FieldView(
                f"{base}/{each.path}",
                each,
                each.unit(us),
                each.shown(find(row, each.path), us),
                fault_at(f"/{base}/{each.path}"),
            )
            for each in rows.entries
        )
        made.append(RowView(at + 1, fields, fault_at(f"/{base}")))
    return RowsView(rows.title, tuple(made), rows.hint)
