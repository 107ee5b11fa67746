"""Whatever stands in a book's files, it is read or refused with places; nothing else ever happens."""

from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.errors import PricebookRefused
from estimator.storage.books import read_book_files, read_book_zip
from tests.storage.books.book_files import records_of, us_files, written

FILES = us_files()
TABLES = sorted(name for name in FILES if name.endswith(".csv"))
CELL = st.one_of(
    st.text(max_size=12),
    st.sampled_from(
        ["", "-1", "NaN", "inf", "1e999", "1/0", "0", "1,5", "12 in", "26 ga", "=1+1", "yes", ";", "9" * 30]
    ),
    st.decimals(allow_nan=True, allow_infinity=True).map(str),
)


def read_or_refused(files):
    try:
        book = read_book_files(files)
    except PricebookRefused as refused:
        assert refused.faults
        assert all(fault.pointer and fault.message for fault in refused.faults)
        return None
    return book


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_any_text_in_any_cells_is_read_or_refused(data):
    table = data.draw(st.sampled_from(TABLES))
    records = records_of(FILES, table)
    for _ in range(data.draw(st.integers(1, 4))):
        record = records[data.draw(st.integers(0, len(records) - 1))]
        record[data.draw(st.integers(0, len(record) - 1))] = data.draw(CELL)
    try:
        content = written(records)
    except UnicodeEncodeError:
        return
    read_or_refused(FILES | {table: content})


@settings(max_examples=80, deadline=None)
@given(st.sampled_from(sorted(FILES)), st.binary(max_size=200))
def test_any_bytes_as_any_file_are_read_or_refused(name, content):
    read_or_refused(FILES | {name: content})


@settings(max_examples=80, deadline=None)
@given(st.data())
def test_any_line_of_the_head_is_read_or_refused(data):
    lines = FILES["book.toml"].decode().splitlines()
    line = data.draw(st.integers(0, len(lines) - 1))
    key = lines[line].partition("=")[0]
    value = data.draw(
        st.sampled_from(['""', "[]", "{}", "1", "-1", "nan", "inf", "true", "1e400", '"NaN"', "2026-01-01"])
    )
    lines[line] = f"{key}= {value}"
    read_or_refused(FILES | {"book.toml": "\n".join(lines).encode()})


@settings(max_examples=60, deadline=None)
@given(st.sets(st.sampled_from(sorted(FILES)), min_size=1))
def test_any_files_missing_are_read_or_refused(missing):
    book = read_or_refused({name: content for name, content in FILES.items() if name not in missing})
    assert book is None or missing <= {"price_breaks.csv", "screw_joints.csv", "texts.csv"}


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=300))
def test_any_bytes_as_a_zip_are_refused(content):
    try:
        read_book_zip(content)
    except PricebookRefused as refused:
        assert refused.faults
