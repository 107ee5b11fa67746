"""Editions that an organisation puts in: checked whole, then never changed once a quote stands on them."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from estimator.errors import AlreadyUsed, Fault, NotFound, Refused
from estimator.pricebook import Book
from estimator.sentences import day, say
from estimator.service.access.audit import Thing, write_down
from estimator.service.context import Client, ServiceContext, StoreResponse
from estimator.service.editions import put_in
from estimator.service.price_lists import ListReport, NewEdition, as_columns, files_with_list
from estimator.storage.books import MAX_ZIP_MEMBERS, files_of_zip, read_book_files
from estimator.storage.tables import EditionStandingRow, OrganisationRow, PriceListColumnsRow, UploadedEditionRow


@dataclass(frozen=True, slots=True)
class PostedList:
    """A supplier's price list as it was posted, and the edition that it is to make."""

    supplier: str
    content: bytes
    new: NewEdition


def upload_edition(context: ServiceContext, client: Client, archive: bytes, store: StoreResponse) -> Book:
    """Keep an edition.

    Errors: PricebookRefused with every fault; AlreadyUsed if that edition exists otherwise, or where another of the
    book begins on its first day. One that is withdrawn is in nobody's way: what corrects it may begin when it did.
    """
    files = files_of_zip(archive)
    book = read_book_files(files)
    standings = context.catalogue.standings(client.organisation)
    for each in context.catalogue.available(client.organisation):
        other = each.head
        if each.name == (book.id, book.edition) and each.read().sha256 != book.sha256:
            raise _exists_otherwise(book)
        same_day = (other.id, other.valid_from) == (book.id, book.valid_from)
        if same_day and other.edition != book.edition and standings.get(each.name) != "withdrawn":
            raise _begins_then(book, other.edition)
    with context.writing() as session:
        _refuse_same_day(session, client, book)
        kept = session.get(UploadedEditionRow, (client.organisation, book.id, book.edition))
        kept = kept or _keep(session, context, client, (book, packed(files)))
        if kept.sha256 != book.sha256:
            raise _exists_otherwise(book)
        detail = {"sha256": book.sha256}
        write_down(session, context, client, "edition.uploaded", Thing("edition", f"{book.id}/{book.edition}"), detail)
        put_in(session, context, client, book)
        store(session, book)
    return book


def _keep(session: Session, context: ServiceContext, client: Client, upload: tuple[Book, bytes]) -> UploadedEditionRow:
    """The row of an upload; where somebody uploaded the same edition at the same time, theirs."""
    book, archive = upload
    row = UploadedEditionRow(
        organisation_id=client.organisation,
        pricebook=book.id,
        edition=book.edition,
        archive=archive,
        sha256=book.sha256,
        created_at=context.clock(),
    )
    try:
        with session.begin_nested():
            session.add(row)
    except IntegrityError:
        return session.get_one(UploadedEditionRow, (client.organisation, book.id, book.edition))
    return row


def _refuse_same_day(session: Session, client: Client, book: Book) -> None:
    """Of two editions that are put in at one moment and begin on one day, the later is refused."""
    session.get(OrganisationRow, client.organisation, with_for_update=True)
    row = EditionStandingRow
    others = select(row.edition).where(
        row.organisation_id == client.organisation,
        row.pricebook == book.id,
        row.edition != book.edition,
        row.valid_from == book.valid_from,
        row.standing != "withdrawn",
    )
    other = session.scalar(others.limit(1))
    if other is not None:
        raise _begins_then(book, other)


def _begins_then(book: Book, edition: str) -> AlreadyUsed:
    return AlreadyUsed(
        say(
            "edition {edition} of pricebook {book} begins on {valid_from} already",
            edition=edition,
            book=book.id,
            valid_from=day(book.valid_from),
        )
    )


def _exists_otherwise(book: Book) -> AlreadyUsed:
    return AlreadyUsed(
        say(
            "edition {edition} of pricebook {book} exists with other files; "
            "an edition never changes, give the change a new edition",
            edition=book.edition,
            book=book.id,
        )
    )


def archive_of(files: Sequence[tuple[str, bytes]]) -> bytes:
    """An edition as an archive, from what was chosen: the archive itself, or the files of its folder by name.

    Errors: Refused where nothing was chosen; what else is wrong is told by ``upload_edition``.
    """
    if not files:
        fault = Fault("/files", say("{count} files", count=0), say("1 to {most}", most=MAX_ZIP_MEMBERS))
        raise Refused(say("no files of an edition"), [fault])
    (name, content), *others = files
    if not others and name.lower().endswith(".zip"):
        return content
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files:
            archive.writestr(name.replace("\\", "/").rpartition("/")[2], content)
    return stream.getvalue()


def packed(files: Mapping[str, bytes]) -> bytes:
    """The files as a ZIP archive that is the same for the same files."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name in sorted(files):
            archive.writestr(zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0)), files[name], zipfile.ZIP_DEFLATED)
    return stream.getvalue()


def upload_price_list(
    context: ServiceContext,
    client: Client,
    named: tuple[str, str],
    posted: PostedList,
    store: Callable[[Session, tuple[Book, ListReport]], None],
) -> tuple[Book, ListReport]:
    """A new edition from another and a supplier's price list. Errors: NotFound, Refused with every fault."""
    base = context.catalogue.get(client.organisation, *named)
    with context.reading() as session:
        row = session.get(PriceListColumnsRow, (client.organisation, posted.supplier))
        if row is None:
            text = say("nobody has told the columns of {supplier}", supplier=repr(posted.supplier))
            raise Refused(text, [Fault("/supplier", text, say("a supplier whose columns were told"))])
        columns = as_columns(row.document)
    files = context.catalogue.files(client.organisation, base)
    made, report = files_with_list(files, base, posted.supplier, columns, posted.content, posted.new)
    book = upload_edition(context, client, packed(made), lambda session, book: store(session, (book, report)))
    return book, report


def remember_columns(
    context: ServiceContext, client: Client, supplier: str, document: dict[str, object], store: StoreResponse
) -> dict[str, object]:
    """What a supplier calls the columns of its lists, from now on."""
    with context.writing() as session:
        row = session.get(PriceListColumnsRow, (client.organisation, supplier), with_for_update=True)
        if row is None:
            row = PriceListColumnsRow(organisation_id=client.organisation, supplier=supplier)
            session.add(row)
        row.document, row.updated_at = document, context.clock()
        session.flush()
        write_down(session, context, client, "columns.told", Thing("supplier", supplier), document)
        store(session, document)
        return document


def told_columns(context: ServiceContext, client: Client, supplier: str) -> dict[str, object]:
    """What was told of a supplier's columns. Errors: NotFound."""
    with context.reading() as session:
        row = session.get(PriceListColumnsRow, (client.organisation, supplier))
        if row is None:
            raise NotFound(say("nobody has told the columns of that supplier"))
        return dict(row.document)
