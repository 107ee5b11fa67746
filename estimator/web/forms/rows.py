"""Lists of small things in a form: a row of fields for each and a spare one, so that adding needs no script."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass

from estimator.web.forms.entries import Document, FormEntry, find, put


@dataclass(frozen=True, slots=True)
class RowsEntry:
    """A list: its place below the thing it belongs to, what it is called, the fields of a row.

    ``spare``: how many empty rows stand behind those that are filled; ``most``: rows beyond these come as files.
    """

    path: str
    title: str
    entries: tuple[FormEntry, ...]
    spare: int = 1
    most: int = 200
    hint: str = ""

    def count(self, listed: Document) -> int:
        """How many rows the form shows."""
        filled = len(listed) if isinstance(listed, list) else 0
        return filled + max(0, min(self.spare, self.most - filled))


def rows_read(form: Mapping[str, str], document: Document, rows: RowsEntry, path: str, *, us: bool) -> None:
    """Put what the rows say into the document: a row that was emptied goes, one that was filled in comes.

    What a row holds beside its fields stays with it. A file may have put more rows into the form than the document has.
    """
    before = find(document, path)
    if before is not None and not isinstance(before, list):
        return
    listed: list[Document] = before or []
    made = []
    for at in range(_rows_in(form, rows, path, rows.count(listed))):
        old = listed[at] if at < len(listed) else {}
        new = _row(form, old, rows, f"{path}/{at}", us)
        if new or (at < len(listed) and new == old):
            made.append(new)
    if made != listed:
        put(document, path, made or None)


def rows_sent(form: Mapping[str, str], rows: RowsEntry, path: str, listed: Document) -> bool:
    """Whether a form carries these rows at all."""
    first = range(rows.count(listed))
    return any(f"{path}/{at}/{entry.path}" in form for at in first for entry in rows.entries)


def row_paths(rows: RowsEntry, path: str, listed: Document) -> Iterator[tuple[str, FormEntry]]:
    """Every field of every row, with its path."""
    for at in range(rows.count(listed)):
        yield from ((f"{path}/{at}/{entry.path}", entry) for entry in rows.entries)


def _rows_in(form: Mapping[str, str], rows: RowsEntry, path: str, count: int) -> int:
    """How many rows to read: as many as the document shows, and those sent behind them."""
    while any(f"{path}/{count}/{entry.path}" in form for entry in rows.entries):
        count += 1
    return count


def _row(form: Mapping[str, str], old: Document, rows: RowsEntry, path: str, us: bool) -> Document:
    if not isinstance(old, dict):
        return old
    new = deepcopy(old)
    for entry in rows.entries:
        typed = form.get(f"{path}/{entry.path}")
        if typed is not None and not entry.same(typed, old.get(entry.path), us):
            put(new, entry.path, entry.read(typed, old.get(entry.path), us))
    return new
