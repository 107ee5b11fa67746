"""Editions that an organisation puts in: checked whole, then never changed once a quote stands on them."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping

from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from estimator.errors import AlreadyUsed
from estimator.pricebook import Book
from estimator.service.audit import Thing, write_down
from estimator.service.context import Client, ServiceContext, StoreResponse
from estimator.storage.books import files_of_zip, read_book_files
from estimator.storage.tables import UploadedEditionRow


def upload_edition(context: ServiceContext, client: Client, archive: bytes, store: StoreResponse) -> Book:
    """Keep an edition. Errors: PricebookRefused with every fault; AlreadyUsed if that edition exists otherwise."""
    files = files_of_zip(archive)
    book = read_book_files(files)
    for other in context.catalogue.books(client.organisation):
        if (other.id, other.edition) == (book.id, book.edition) and other.sha256 != book.sha256:
            raise _exists_otherwise(book)
        if (other.id, other.valid_from) == (book.id, book.valid_from) and other.edition != book.edition:
            raise AlreadyUsed(f"edition {other.edition} of pricebook {book.id} begins on {book.valid_from} already")
    with context.writing() as session:
        kept = session.get(UploadedEditionRow, (client.organisation, book.id, book.edition))
        kept = kept or _keep(session, context, client, (book, packed(files)))
        if kept.sha256 != book.sha256:
            raise _exists_otherwise(book)
        detail = {"sha256": book.sha256}
        write_down(session, context, client, "edition.uploaded", Thing("edition", f"{book.id}/{book.edition}"), detail)
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


def _exists_otherwise(book: Book) -> AlreadyUsed:
    return AlreadyUsed(
        f"edition {book.edition} of pricebook {book.id} exists with other files; "
        "an edition never changes, give the change a new edition"
    )


def packed(files: Mapping[str, bytes]) -> bytes:
    """The files as a ZIP archive that is the same for the same files."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name in sorted(files):
            archive.writestr(zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0)), files[name], zipfile.ZIP_DEFLATED)
    return stream.getvalue()
