"""The pricebooks available: folders that all organisations share, and the editions an organisation has uploaded."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from functools import partial
from pathlib import Path
from threading import Lock

from babel.numbers import get_territory_currencies
from cachetools import LRUCache
from sqlalchemy import Engine, select
from sqlalchemy.orm import Session

from estimator.errors import ChoiceRefused, Fault, NotFound
from estimator.job import Job
from estimator.pricebook import Book, Logo
from estimator.sentences import day, say
from estimator.storage.books import (
    Edition,
    book_in_force,
    edition_of_zip,
    files_of_folder,
    files_of_zip,
    find_editions,
    read_book,
    read_book_zip,
)
from estimator.storage.tables import EditionStandingRow, UploadedEditionRow

KEPT_BOOKS = 32
KEPT_HEADS = 512
Mark = tuple[object, ...]


@dataclass(frozen=True, slots=True)
class EditionSummary:
    """One edition as a list shows it: no price, no cost."""

    id: str
    edition: str
    title: str
    currency: str
    valid_from: date
    valid_until: date
    country: str
    sha256: str
    uploaded: bool
    standing: str = "approved"

    def force(self, on: date) -> str:
        """Whether it is in force on a day: ``coming``, ``in_force`` or ``over``; empty where it is not approved."""
        if self.standing != "approved":
            return ""
        return "coming" if self.valid_from > on else "over" if self.valid_until < on else "in_force"


@dataclass(frozen=True, slots=True)
class Available:
    """An edition that may be used, by its head; ``read`` gives it whole."""

    head: Edition
    uploaded: bool
    read: Callable[[], Book]

    @property
    def name(self) -> tuple[str, str]:
        """Book and edition."""
        return self.head.id, self.head.edition


@dataclass(slots=True)
class Catalogue:
    """Finds editions by their heads and reads those that are used; one read is kept while its files stay as they are.

    ``logo`` is that of the house, for books that have none of their own.
    """

    roots: Sequence[Path]
    engine: Engine | None = None
    logo: Logo | None = None
    _books: LRUCache[Mark, Book] = field(default_factory=lambda: LRUCache(KEPT_BOOKS))
    _heads: LRUCache[Mark, Edition] = field(default_factory=lambda: LRUCache(KEPT_HEADS))
    _lock: Lock = field(default_factory=Lock)

    def books(self, organisation: str) -> tuple[Book, ...]:
        """Every edition an organisation may use, whole."""
        return tuple(each.read() for each in self.available(organisation))

    def available(self, organisation: str) -> tuple[Available, ...]:
        """Every edition an organisation may use; its own uploads stand before a shared edition of the same name."""
        own = self._uploaded(organisation)
        named = {each.name for each in own}
        shared = [Available(each, False, partial(self._read, each)) for each in self._editions()]
        return tuple(own) + tuple(each for each in shared if each.name not in named)

    def shared(self) -> tuple[Edition, ...]:
        """What lies in the folders that all organisations share, by the heads alone."""
        return self._editions()

    def summaries(self, organisation: str, since: datetime | None = None) -> tuple[EditionSummary, ...]:
        """What there is, by book and first day; or what of it was put in, decided on or written since a moment."""
        found = sorted(self.available(organisation), key=lambda each: (each.head.id, each.head.valid_from, each.name))
        standing = self.standings(organisation)
        new = None if since is None else self._new(organisation, since)
        return tuple(
            _summary(each.read(), each.uploaded, standing.get(each.name, "approved"))
            for each in found
            if new is None or each.name in new
        )

    def standings(self, organisation: str) -> dict[tuple[str, str], str]:
        """How editions stand by book and edition: waiting, approved, withdrawn; approved where nothing is told."""
        if self.engine is None:
            return {}
        with Session(self.engine.execution_options(reads_only=True)) as session:
            row = EditionStandingRow
            asked = select(row.pricebook, row.edition, row.standing).where(row.organisation_id == organisation)
            return {(pricebook, edition): standing for pricebook, edition, standing in session.execute(asked)}

    def _new(self, organisation: str, since: datetime) -> set[tuple[str, str]]:
        """Editions put in, decided on, or written (in folders) at or after a moment."""
        found = {
            (each.id, each.edition)
            for each in self._editions()
            if max(path.stat().st_mtime for path in each.folder.iterdir()) >= since.timestamp()
        }
        if self.engine is None:
            return found
        own, standing = UploadedEditionRow, EditionStandingRow
        with Session(self.engine.execution_options(reads_only=True)) as session:
            put_in = select(own.pricebook, own.edition).where(
                own.organisation_id == organisation, own.created_at >= since
            )
            decided = select(standing.pricebook, standing.edition).where(
                standing.organisation_id == organisation, standing.updated_at >= since
            )
            rows = [each for asked in (put_in, decided) for each in session.execute(asked)]
            return found | {(pricebook, edition) for pricebook, edition in rows}

    def files(self, organisation: str, book: Book) -> dict[str, bytes]:
        """The files of an edition. Errors: NotFound."""
        if self.engine is not None:
            with Session(self.engine.execution_options(reads_only=True)) as session:
                kept = session.get(UploadedEditionRow, (organisation, book.id, book.edition))
                if kept is not None:
                    return files_of_zip(kept.archive)
        for each in self._editions():
            if (each.id, each.edition) == (book.id, book.edition):
                return files_of_folder(each.folder)
        raise NotFound(
            say("no files of edition {edition} of pricebook {book}", edition=repr(book.edition), book=repr(book.id))
        )

    def get(self, organisation: str, pricebook: str, edition: str) -> Book:
        """One edition by name. Errors: NotFound."""
        for each in self.available(organisation):
            if each.name == (pricebook, edition):
                return each.read()
        raise NotFound(
            say("no edition {edition} of pricebook {pricebook}", edition=repr(edition), pricebook=repr(pricebook))
        )

    def choose(self, organisation: str, pricebook: str | None, edition: str | None, on: date, job: Job) -> Book:
        """The edition in force on a day, of the book named or of the one that fits the site's country.

        Errors: ChoiceRefused, naming what there is.
        """
        standing = self.standings(organisation)
        everything = self.available(organisation)
        found = {each.name: each for each in everything if standing.get(each.name, "approved") == "approved"}
        heads = [each.head for each in found.values()]
        if edition is not None and len(found) < len(everything):
            _refuse_unapproved(standing, pricebook, edition)
        name = pricebook or _fitting(heads, job, on)
        if edition is not None:
            chosen = _named_edition(heads, name, edition, on)
        else:
            try:
                chosen = book_in_force(heads, name, on)
            except NotFound as fault:
                known = ", ".join(sorted({head.id for head in heads})) or "none available"
                raise ChoiceRefused(fault.told, [Fault("/pricebook", fault.told, known)]) from fault
        return found[chosen.id, chosen.edition].read()

    def _editions(self) -> tuple[Edition, ...]:
        return find_editions([root for root in self.roots if root.is_dir()])

    def _read(self, edition: Edition) -> Book:
        files = sorted(path for path in edition.folder.iterdir() if path.is_file())
        stats = [(path.name, (stat := path.stat()).st_mtime_ns, stat.st_size) for path in files]
        mark: Mark = (str(edition.folder), tuple(stats))
        return self._kept(mark) or self._keep(mark, read_book(edition.folder))

    def _uploaded(self, organisation: str) -> list[Available]:
        engine, row = self.engine, UploadedEditionRow
        if engine is None:
            return []
        with Session(engine.execution_options(reads_only=True)) as session:
            statement = select(row.pricebook, row.edition, row.sha256).where(row.organisation_id == organisation)
            marks: list[Mark] = [(organisation, *each) for each in session.execute(statement).all()]
        return [Available(self._head(engine, mark), True, partial(self._read_uploaded, engine, mark)) for mark in marks]

    def _head(self, engine: Engine, mark: Mark) -> Edition:
        with self._lock:
            known = self._heads.get(mark)
        if known is None:
            known = edition_of_zip(_archive(engine, mark))
            with self._lock:
                self._heads[mark] = known
        return known

    def _read_uploaded(self, engine: Engine, mark: Mark) -> Book:
        return self._kept(mark) or self._keep(mark, read_book_zip(_archive(engine, mark)))

    def _kept(self, mark: Mark) -> Book | None:
        with self._lock:
            return self._books.get(mark)

    def _keep(self, mark: Mark, book: Book) -> Book:
        if self.logo is not None and book.seller.logo is None:
            book = replace(book, seller=replace(book.seller, logo=self.logo))
        with self._lock:
            self._books[mark] = book
        return book


def _archive(engine: Engine, mark: Mark) -> bytes:
    with Session(engine.execution_options(reads_only=True)) as session:
        return session.get_one(UploadedEditionRow, mark[:3]).archive


def _fitting(heads: Sequence[Edition], job: Job, on: date) -> str:
    """The book whose seller is in the site's (or customer's) country, else one of that country's currency."""
    if not heads:
        raise ChoiceRefused(say("no pricebook is available"), [Fault("/pricebook", say("no pricebook is available"))])
    country = job.site.address.country or job.customer.address.country
    valid = [head for head in heads if head.valid_from <= on <= head.valid_until] or list(heads)
    same = [head for head in valid if country and head.country == country]
    currencies = _currencies(country, on)
    payable = [head for head in valid if head.currency in currencies]
    return min((same or payable or valid), key=lambda head: head.id).id


def _currencies(country: str, on: date) -> set[str]:
    """What is paid with in a country. The euro of Bulgaria is not in every version of the library.

    Source: CLDR through Babel; Regulation (EU) 2025/1407 (from memory).
    """
    known = get_territory_currencies(country, on, on) if country else []
    later = {"EUR"} if country == "BG" and on >= date(2026, 1, 1) else set()
    return {*known, *later}


def _named_edition(books: Sequence[Edition], name: str, edition: str, on: date) -> Edition:
    of_name = [book for book in books if book.id == name]
    found = [book for book in of_name if book.edition == edition]
    if not found:
        known = ", ".join(book.edition for book in of_name) or "none of that pricebook"
        text = say("no edition {edition} of pricebook {name}", edition=repr(edition), name=repr(name))
        raise ChoiceRefused(text, [Fault("/edition", text, known)])
    book = found[0]
    if not book.valid_from <= on <= book.valid_until:
        text = say("edition {edition} of {name} is not in force on {on}", edition=edition, name=name, on=day(on))
        raise ChoiceRefused(
            text,
            [
                Fault(
                    "/edition",
                    text,
                    say(
                        "{valid_from} to {valid_until}",
                        valid_from=day(book.valid_from),
                        valid_until=day(book.valid_until),
                    ),
                )
            ],
        )
    return book


def _refuse_unapproved(standing: Mapping[tuple[str, str], str], pricebook: str | None, edition: str) -> None:
    """Tell apart an edition that is not there and one that waits or was withdrawn."""
    found = standing.get((pricebook or "", edition), "approved")
    if found != "approved":
        named = {"edition": edition, "pricebook": pricebook or ""}
        text = (
            say("edition {edition} of {pricebook} is waiting for approval", **named)
            if found == "waiting"
            else say("edition {edition} of {pricebook} is withdrawn", **named)
        )
        raise ChoiceRefused(text, [Fault("/edition", text, say("an edition that is approved"))])


def _summary(book: Book, uploaded: bool, standing: str) -> EditionSummary:
    return EditionSummary(
        book.id,
        book.edition,
        book.title,
        book.currency,
        book.valid_from,
        book.valid_until,
        book.seller.country,
        book.sha256,
        uploaded,
        standing,
    )
