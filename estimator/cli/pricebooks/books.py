"""``estimator check-pricebook``: every fault of an edition at once, and what it changes against another."""

from __future__ import annotations

from dataclasses import asdict
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import TYPE_CHECKING

import click

from estimator.cli.terminal.refusing import echo_json, refusals

if TYPE_CHECKING:
    from estimator.pricebook import Book
    from estimator.pricebook.against import EditionDifference

ALARMED = 1
"""The exit status where an alarm was told."""


class ShareOption(click.ParamType[Decimal]):
    """A share above nothing, such as 0.1."""

    name = "share"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> Decimal:
        """The share."""
        try:
            share = Decimal(str(value))
        except InvalidOperation:
            share = Decimal(-1)
        if not 0 < share < 100:
            self.fail(f"{value!r} is no share; allowed: above 0, such as 0.1 for 10 %", param, ctx)
        return share


@click.command("check-pricebook")
@click.argument("path", type=click.Path(path_type=Path))
@click.option("--against", "other", help="an earlier edition: its folder or zip, or its name beside PATH")
@click.option("--alarm", type=ShareOption(), default="0.1", show_default=True, help="share a cost may move unalarmed")
@click.option("--json", "as_json", is_flag=True, help="print the outcome as JSON")
def check_pricebook(path: Path, other: str | None, alarm: Decimal, as_json: bool) -> None:
    """Read the edition in the folder (or zip) PATH, or every edition below it; tell every fault.

    With --against, also every difference from an earlier edition. An alarm (a cost that moves by more than the share, a
    margin outside 0 to 100 %, a part gone, a part that means something else) ends with status 1.
    """
    with refusals(as_json=as_json):
        books = [_read(folder) for folder in _editions(path)]
        if other is None:
            _tell(books, as_json)
            return
        if len(books) != 1:
            raise click.UsageError(f"{len(books)} editions lie below {path}; name one to hold against another")
        found = _differences(books[0], _read(_edition_beside(path, other)), alarm)
        if as_json:
            echo_json({"editions": [_entry(books[0])], "differences": [asdict(each) for each in found]})
        else:
            _tell(books, as_json)
            _tell_differences(found)
    if any(each.alarm for each in found):
        raise SystemExit(ALARMED)


def _tell(books: list[Book], as_json: bool) -> None:
    if as_json:
        echo_json({"editions": [_entry(book) for book in books]})
    for book in () if as_json else books:
        held = ((len(book.parts), "part"), (len(book.brackets), "bracket"), (len(book.rails), "rail"))
        counted = ", ".join(f"{count} {word}{'s' * (count != 1)}" for count, word in held)
        dates = f"{book.valid_from} to {book.valid_until}"
        click.echo(f"{book.id} {book.edition}: no fault; {counted}, {book.currency}, {dates}")


def _tell_differences(found: tuple[EditionDifference, ...]) -> None:
    from estimator.pricebook.against import alarms_first

    alarms = [each for each in found if each.alarm]
    for each in alarms_first(found):
        column = f", {each.column}" if each.column else ""
        said = f"  ALARM: {each.alarm}" if each.alarm else ""
        click.echo(f"  {each.of}{column}: {each.before or 'nothing'} -> {each.after or 'nothing'}{said}")
    click.echo(f"{len(found)} differences, {len(alarms)} alarms" if found else "no difference in parts and rates")


def _differences(after: Book, before: Book, alarm: Decimal) -> tuple[EditionDifference, ...]:
    from estimator.pricebook.against import against

    return against(after, before, alarm)


def _edition_beside(path: Path, other: str) -> Path:
    """The edition named: a path, else one that lies beside the edition that is checked."""
    named = Path(other)
    return named if named.exists() else path.absolute().parent / other


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
