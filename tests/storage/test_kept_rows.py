"""The database of version 0.1 opens, loses nothing, and gives every record and document back."""

import hashlib
import sqlite3
import zlib

import orjson
import pytest
from sqlalchemy import func, select, text
from sqlalchemy.orm import Session

from estimator.comparison.records import Offer
from estimator.orders import OrderLists
from estimator.storage import migrate, tables
from estimator.storage.records.codec import freeze, thaw
from estimator.storage.records.places_before_tags import PLACES
from estimator.storage.tables.listings import QuoteListingRow, waiting
from tests.storage.kept_house import ARCHIVE, KEPT, MANIFEST, QUOTES, files, open_house, unpack
from tests.storage.records.test_record_tags import FIELDS

NAMED_ANEW = {"answered": "idempotency"}
"""Tables of version 0.1 whose rows stand in tables of other names today."""


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    return open_house(tmp_path_factory.mktemp("house"))


def test_the_archive_is_small():
    assert ARCHIVE.stat().st_size < 1_500_000
    assert {path.name for path in KEPT.iterdir()} == {ARCHIVE.name, "manifest.json", "fields.txt"}


def test_every_table_had_rows_and_migrating_loses_none(house):
    assert migrate.is_current(house.engine)
    with house.engine.connect() as connection:
        for old, count in MANIFEST["rows"].items():
            name = NAMED_ANEW.get(old, old)
            if name in tables.Base.metadata.tables:
                assert count > 0
                table = tables.Base.metadata.tables[name]
                assert connection.scalar(select(func.count()).select_from(table)) == count, name


def test_every_state_of_a_quote_is_there():
    assert {quote["state"] for quote in QUOTES.values()} | {"superseded"} == set(tables.QUOTE_STATES)
    assert {quote["language"] for quote in QUOTES.values()} == {"en", "de", "es", "fr"}
    assert {quote["display_units"] for quote in QUOTES.values()} == {"metric", "us", "both"}


def test_stored_records_of_format_1_are_read_and_written_anew(house):
    with house.engine.connect() as connection:
        kept = [(Offer, content) for content in connection.scalars(text("SELECT offer FROM quote"))]
        kept += [(OrderLists, content) for content in connection.scalars(text("SELECT lists FROM order_list"))]
    for kind, content in kept:
        record = thaw(content)
        assert type(record) is kind
        assert thaw(freeze(record)) == record


def test_version_1_of_every_record_is_listed_with_the_fields_that_were_stored():
    """So that no line of the listing can be changed instead of a version raised."""
    database = sqlite3.connect(":memory:")
    database.deserialize(files()["estimator.db"])
    stored = database.execute("SELECT offer FROM quote UNION ALL SELECT lists FROM order_list").fetchall()
    shapes = {shape for (content,) in stored for shape in shapes_in(orjson.loads(zlib.decompress(content))["record"])}
    assert {(PLACES[place], " ".join(names)) for place, names in shapes} == {
        (tag, " ".join(FIELDS[tag])) for place, tag in PLACES.items() if place != "cutting.records:Refusal"
    }


def shapes_in(value):
    """Place and field names of each record as version 0.1 wrote it."""
    if isinstance(value, dict):
        if "@" in value:
            yield value["@"], tuple(name for name in value if name != "@")
        for inner in value.values():
            yield from shapes_in(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from shapes_in(inner)


def test_documents_kept_at_issue_come_out_to_the_byte(house):
    names = {"workbook": "workbook.xlsx", "quote_pdf": "quote.pdf", "plan_svg": "plan.svg", "plan_dxf": "plan.dxf",
             "setting_out": "setting-out.pdf", "calculation": "calculation.pdf", "saw_list_pdf": "saw-list.pdf",
             "saw_list": "saw-list.csv", "quotation": "quotation.xml"}  # fmt: skip
    checked = 0
    for quote in QUOTES.values():
        for what, sha256 in quote["documents"].items():
            kind, edition = what.split("/")
            answer = house.get(f"/v1/quotes/{quote['id']}/{names[kind]}", query_string={"edition": edition})
            assert answer.status_code == 200, answer.text
            assert hashlib.sha256(answer.data).hexdigest() == sha256, (quote["number"], what)
            checked += 1
    assert checked == MANIFEST["rows"]["quote_document"]


def test_a_database_of_version_0_1_may_be_opened_again_and_again(tmp_path):
    url = unpack(tmp_path)
    migrate.upgrade(url)
    before = list(sqlite3.connect(tmp_path / "estimator.db").iterdump())
    migrate.upgrade(url)
    assert list(sqlite3.connect(tmp_path / "estimator.db").iterdump()) == before


def test_what_kept_quotes_wait_for_is_what_they_would_if_they_were_written_today(house):
    with Session(house.engine) as session:
        ordered = set(session.scalars(select(tables.OrderedQuoteRow.quote_id)))
        rows = {row.id: waiting(row, ordered=row.id in ordered) for row in session.scalars(select(tables.QuoteRow))}
        listed = session.execute(select(QuoteListingRow.quote_id, QuoteListingRow.waits_for, QuoteListingRow.waits_on))
        told = {quote: (waits_for, waits_on) for quote, waits_for, waits_on in listed}
    assert told == rows
    assert {waits_for for waits_for, _ in told.values()} == {"failing", "ending", "to_order", "declined", None}
