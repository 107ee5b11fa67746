"""Files that come in as a workbook and mean harm, or are broken: refused with the reason, fast and in little memory.

Common practice, no source: the kinds of archive and XML that have exhausted readers of spreadsheets.
"""

import io
import random
import tracemalloc
import zipfile

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.contract.fault_codes import code_of
from estimator.documents.workbook_reading import archive, cells, read_workbook
from estimator.errors import EstimatorError, Refused
from tests.documents.quotes_to_write import HEAD, the_entries, the_offer, the_workbook


def repacked(changes, added=(), method=zipfile.ZIP_DEFLATED):
    """The workbook with some parts replaced or taken out (None), and others added."""
    source, target = zipfile.ZipFile(io.BytesIO(the_workbook())), io.BytesIO()
    with zipfile.ZipFile(target, "w", method) as packed:
        for name in source.namelist():
            content = changes.get(name, source.read(name))
            if content is not None:
                packed.writestr(name, content)
        for name, content in added:
            packed.writestr(name, content)
    return target.getvalue()


def refused(content):
    with pytest.raises(Refused) as refusal:
        read_workbook(content, the_offer(), HEAD)
    return code_of(refusal.value.faults[0])


def pricing_part():
    """The part that holds the sheet of priced lines."""
    return cells.sheet_parts(archive.Archive(the_workbook()))["Pricing"]


def pricing_xml():
    return zipfile.ZipFile(io.BytesIO(the_workbook())).read(pricing_part())


def test_a_sheet_with_far_more_cells_than_were_written_is_refused():
    """60,000 cells besides those that were written; as many empty ones are nothing."""
    row = b"".join(b'<c r="%s%d"><v>1</v></c>' % (column, 900) for column in (b"A", b"B"))
    rows = b"".join(row.replace(b"900", b"%d" % at) for at in range(900, 30_900))
    for cells_in, taken in ((rows, False), (rows.replace(b"<v>1</v>", b""), True)):
        filled = pricing_xml().replace(b"</sheetData>", b'<row r="900">' + cells_in + b"</row></sheetData>")
        content = repacked({pricing_part(): filled})
        if taken:
            assert read_workbook(content, the_offer(), HEAD).not_taken == ()
        else:
            assert refused(content) == "too_large"


@pytest.mark.parametrize("content", [b"", b"PK", b"no archive", b"PK\x03\x04" + b"\0" * 40, b"\0" * 1000])
def test_what_is_no_archive_is_refused(content):
    assert refused(content) == "unreadable_file"


def test_an_encrypted_workbook_is_refused():
    assert refused(bytes.fromhex("D0CF11E0A1B11AE1") + b"\0" * 600) == "unreadable_file"
    marked = bytearray(the_workbook())
    at = marked.find(b"PK\x01\x02")
    marked[at + 8] |= 1
    assert refused(bytes(marked)) == "unreadable_file"


def test_a_file_over_the_limit_is_refused_unread():
    assert refused(b"P" * (archive.LARGEST_FILE + 1)) == "too_large"


def test_a_part_that_unpacks_without_end_is_counted_and_refused():
    spaces = pricing_xml().replace(b"<sheetData>", b"<sheetData>" + b" " * (archive.LARGEST_CONTENT + 1))
    content = repacked({pricing_part(): spaces})
    assert len(content) < 500_000
    tracemalloc.start()
    assert refused(content) == "too_large"
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 3 * archive.LARGEST_CONTENT


def test_more_parts_than_a_workbook_has_are_refused():
    content = repacked({}, [(f"xl/media/{n}.bin", b"") for n in range(archive.MOST_PARTS)])
    assert refused(content) == "too_many"


def test_millions_of_empty_rows_are_refused():
    rows = pricing_xml().replace(b"<sheetData>", b"<sheetData>" + b"<row/>" * (cells.MOST_ELEMENTS + 1))
    assert refused(repacked({pricing_part(): rows})) == "too_large"


def test_a_cell_in_the_last_row_and_column_costs_nothing():
    far = b'<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData>'
    content = repacked({pricing_part(): pricing_xml().replace(b"</sheetData>", far)})
    assert read_workbook(content, the_offer(), HEAD).changes == ()


def test_a_cell_that_stands_twice_is_refused():
    cell = next(entry.cell for entry in the_entries() if entry.field == "ordered").encode()
    twice = b'<row r="5"><c r="' + cell + b'"><v>9</v></c></row></sheetData>'
    content = repacked({pricing_part(): pricing_xml().replace(b"</sheetData>", twice)})
    assert refused(content) == "named_twice"


@pytest.mark.parametrize("code", ["utf-8", "utf-16"])
def test_entities_are_refused(code):
    text = pricing_xml().decode()
    laughs = "<!DOCTYPE x [<!ENTITY a 'ha'><!ENTITY b '&a;&a;&a;'>]>" + text[text.index("<worksheet") :]
    head = f'<?xml version="1.0" encoding="{code}"?>' if code == "utf-8" else ""
    assert refused(repacked({pricing_part(): (head + laughs).encode(code)})) == "unreadable_file"


def test_a_document_type_behind_a_long_comment_is_refused_too():
    text = pricing_xml().decode()
    long = "<!--" + "x" * 20_000 + "--><!DOCTYPE worksheet [<!ENTITY a 'ha'>]>" + text[text.index("<worksheet") :]
    assert refused(repacked({pricing_part(): long.encode()})) == "unreadable_file"


def test_a_document_type_in_an_unusual_encoding_is_refused_too():
    text = pricing_xml().decode("ascii", "ignore")
    body = "<!DOCTYPE worksheet [<!ENTITY a 'ha'>]>" + text[text.index("<worksheet") :]
    content = ('<?xml version="1.0" encoding="cp037"?>' + body).encode("cp037", "replace")
    assert refused(repacked({pricing_part(): content})) == "unreadable_file"


def test_missing_and_damaged_parts_are_refused():
    assert refused(repacked({"xl/workbook.xml": None})) == "missing"
    assert refused(repacked({pricing_part(): None})) == "missing"
    assert refused(repacked({pricing_part(): pricing_xml()[:-200]})) == "unreadable_file"
    content = bytearray(the_workbook())
    at = content.find(pricing_part().encode()) + 400
    content[at : at + 50] = b"\xff" * 50
    assert refused(bytes(content)) == "unreadable_file"


def test_a_part_that_is_there_twice_is_refused():
    with pytest.warns(UserWarning):
        content = repacked({}, [(pricing_part(), b"<worksheet/>")])
    assert refused(content) == "named_twice"


def test_an_unusual_packing_is_refused():
    assert refused(repacked({}, method=zipfile.ZIP_LZMA)) == "unreadable_file"


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32 - 1))
def test_a_workbook_damaged_anywhere_is_read_or_refused_but_never_breaks_the_reader(seed):
    chance = random.Random(seed)
    content = bytearray(the_workbook())
    for _ in range(chance.choice((1, 5, 50))):
        content[chance.randrange(len(content))] = chance.randrange(256)
    if chance.random() < 0.3:
        del content[chance.randrange(len(content)) :]
    try:
        found = read_workbook(bytes(content), the_offer(), HEAD)
    except EstimatorError:
        return
    assert all(fault.message for fault in found.faults)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32 - 1))
def test_a_sheet_whose_text_was_tampered_with_never_breaks_the_reader(seed):
    chance = random.Random(seed)
    xml = bytearray(pricing_xml())
    for _ in range(20):
        at = chance.randrange(len(xml))
        xml[at : at + 1] = chance.choice((b"<", b">", b"&", b'"', b"9", b"-", b"e", b"\xff", b" ", b""))
    try:
        read_workbook(repacked({pricing_part(): bytes(xml)}), the_offer(), HEAD)
    except EstimatorError:
        return
