"""``estimator check-pricebook``: every fault of an edition at once."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from estimator.cli.refusing import echo_json, refusals

if TYPE_CHECKING:
    from estimator.pricebook import Book


@click.command("check-pricebook")
@click.argument("path", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="print the outcome as JSON")
def check_pricebook(path: Path, as_json: bool) -> None:
    """Read the edition in the folder (or zip) PATH, or every edition below it; tell every fault."""
    with refusals(as_json=as_json):
        books = [_read(folder) for folder in _editions(path)]
        if as_json:
            echo_json({"editions": [_entry(book) for book in books]})
        else:
            for book in books:
                click.echo(
                    f"{book.id} {book.edition}: no fault; {len(book.parts)} parts, {len(book.brackets)} brackets, "
                    f"{len(book.rails)} rails, {book.currency}, {book.valid_from} to {book.valid_until}"
                )


def _editions(path: Path) -> list[Path]:
    if path.is_dir() and not (path / "book.toml").exists():
        return sorted(each.parent for each in path.rglob("book.toml")) or [path]
    return [path]


def _read(path: Path) -> Book:
    from estimator.storage.books import read_book, read_book_zip

    return read_book_zip(path.read_bytes()) if path.is_file() else read_book(path)


def _entry(book: Book) -> dict[str, object]:
    return {
        "id": book.id,
        "edition": book.edition,
        "sha256": book.sha256,
        "currency": book.currency,
        "valid_from": book.valid_from.isoformat(),
        "valid_until": book.valid_until.isoformat(),
        "parts": len(book.parts),
    }
