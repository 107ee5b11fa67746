"""The editions kept in folders, and the one in force on a date."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from pathlib import Path

from estimator.errors import Fault, FilePlace, NotFound, PricebookRefused
from estimator.sentences import day, say
from estimator.storage.books.files import HEAD, files_of_zip
from estimator.storage.books.head.head import Head, read_head
from estimator.storage.books.rows.row import Reading

HEADS_KEPT = 512


@dataclass(frozen=True, slots=True)
class Edition:
    """One edition as its head describes it; its tables are read when it is used."""

    id: str
    edition: str
    title: str
    currency: str
    valid_from: date
    valid_until: date
    country: str
    folder: Path


def edition_of_zip(archive: bytes) -> Edition:
    """The head of an archive, without its tables. Refuses (PricebookRefused) a head at fault."""
    reading = Reading()
    found = _of_head(read_head(files_of_zip(archive), reading), Path())
    if reading.faults:
        raise PricebookRefused(say("pricebook folders with faults"), reading.faults)
    return found


def find_editions(roots: Sequence[Path]) -> tuple[Edition, ...]:
    """Every ``<root>/<id>/<edition>/`` that holds a ``book.toml``, by id and first day.

    An edition found under several roots is taken from the first. Refuses (PricebookRefused), all at once, heads at
    fault, heads that do not say what their folders' names say, and two editions of a book that begin on one day.
    """
    faults: list[Fault] = []
    found: dict[tuple[str, str], Edition] = {}
    for root in roots:
        for head in sorted(root.glob(f"*/*/{HEAD}")):
            edition = _edition(head.parent, faults)
            found.setdefault((edition.id, edition.edition), edition)
    editions = tuple(sorted(found.values(), key=lambda each: (each.id, each.valid_from, each.edition)))
    for one, other in itertools.pairwise(editions):
        if (one.id, one.valid_from) == (other.id, other.valid_from):
            place = f"{other.id}/{other.edition}/{HEAD}, valid_from"
            faults.append(
                Fault(place, say("edition {edition} begins on that day, too", edition=one.edition), say("another day"))
            )
    if faults:
        raise PricebookRefused(say("pricebook folders with faults"), faults)
    return editions


def book_in_force(editions: Iterable[Edition], book: str, on: date) -> Edition:
    """The edition of a book in force on a day: of those valid on it, the one that began last.

    Refuses (NotFound) an unknown book, and a day no edition covers.
    """
    of_book = [each for each in editions if each.id == book]
    if not of_book:
        raise NotFound(say("there is no pricebook {book}", book=repr(book)))
    valid = [each for each in of_book if each.valid_from <= on <= each.valid_until]
    if not valid:
        periods = "; ".join(f"{each.edition}: {each.valid_from} to {each.valid_until}" for each in of_book)
        raise NotFound(
            say(
                "pricebook {book} has no edition in force on {on} ({periods})",
                book=repr(book),
                on=day(on),
                periods=periods,
            )
        )
    return max(valid, key=lambda each: each.valid_from)


def _edition(folder: Path, faults: list[Fault]) -> Edition:
    stat = (folder / HEAD).stat()
    edition, found = _head_as_written(folder, stat.st_mtime_ns, stat.st_size)
    faults.extend(found)
    return edition


@lru_cache(maxsize=HEADS_KEPT)
def _head_as_written(folder: Path, _written_ns: int, _size: int) -> tuple[Edition, tuple[Fault, ...]]:
    """What a head says; it is looked for at every estimate, and read again where its file has changed."""
    reading, faults = Reading(), list[Fault]()
    head = read_head({HEAD: (folder / HEAD).read_bytes()}, reading)
    place = f"{folder.parent.name}/{folder.name}"
    for fault in reading.faults:
        at = fault.pointer
        if isinstance(at, FilePlace):
            at = FilePlace(f"{place}/{at.file}", at.row, at.column)
        faults.append(Fault(at, fault.message, fault.allowed))
    for key, said, name in (("id", head.id, folder.parent.name), ("edition", head.edition, folder.name)):
        if said and said != name:
            faults.append(
                Fault(
                    FilePlace(f"{place}/{HEAD}", column=key),
                    say("{said} is not the folder's name", said=repr(said)),
                    name,
                )
            )
    return _of_head(head, folder), tuple(faults)


def _of_head(head: Head, folder: Path) -> Edition:
    valid = head.valid_from, head.valid_until
    return Edition(head.id, head.edition, head.title, head.currency, *valid, head.seller.country, folder)
