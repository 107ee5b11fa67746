"""Editions that an organisation puts in: checked whole, then never changed once a quote stands on them."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping

from estimator.errors import AlreadyUsed
from estimator.pricebook import Book
from estimator.service.context import Client, ServiceContext, StoreResponse
from estimator.storage.books import files_of_zip, read_book_files
from estimator.storage.tables import UploadedEditionRow


def upload_edition(context: ServiceContext, client: Client, archive: bytes, store: StoreResponse) -> Book:
    """Keep an edition. Errors: PricebookRefused with every fault; AlreadyUsed if that edition exists otherwise."""
    files = files_of_zip(archive)
    book = read_book_files(files)
    for other in context.catalogue.books(client.organisation):
        if (other.id, other.edition) == (book.id, book.edition) and other.sha256 != book.sha256:
            raise AlreadyUsed(
                f"edition {book.edition} of pricebook {book.id} exists with other files; "
                "an edition never changes, give the change a new edition"
            )
        if (other.id, other.valid_from) == (book.id, book.valid_from) and other.edition != book.edition:
            raise AlreadyUsed(f"edition {other.edition} of pricebook {book.id} begins on {book.valid_from} already")
    with context.writing() as session:
        name = (client.organisation, book.id, book.edition)
        if session.get(UploadedEditionRow, name) is None:
            row = UploadedEditionRow(
                organisation_id=client.organisation,
                pricebook=book.id,
                edition=book.edition,
                archive=packed(files),
                sha256=book.sha256,
                created_at=context.clock(),
            )
            session.add(row)
        session.flush()
        store(session, book)
    return book


def packed(files: Mapping[str, bytes]) -> bytes:
    """The files as a ZIP archive that is the same for the same files."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name in sorted(files):
            archive.writestr(zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0)), files[name], zipfile.ZIP_DEFLATED)
    return stream.getvalue()
