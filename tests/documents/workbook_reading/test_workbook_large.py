"""A quote of 10,000 lines goes out as a workbook and comes back, also after another program saved it anew.

Read and saved by LibreOffice, an independent reader and writer of the format.
"""

import io
import re
import zipfile

from estimator.documents.workbook import write_workbook
from estimator.documents.workbook_reading import Change, read_workbook
from estimator.documents.workbook_reading.archive import LARGEST_CONTENT, LARGEST_FILE, Archive
from estimator.documents.workbook_reading.cells import sheet_parts
from tests.documents.quotes_to_write import HEAD, an_offer_of
from tests.outside.spreadsheets import by_libreoffice

LINES = 10_000


def changed(long_offer):
    """The workbook, three more in the last line; edited in its parts, since a whole library would take minutes."""
    content = write_workbook(long_offer, HEAD)
    part = sheet_parts(Archive(content))["Pricing"]
    source, target = zipfile.ZipFile(io.BytesIO(content)), io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as packed:
        for name in source.namelist():
            text = source.read(name)
            if name == part:
                held = re.search(rf'<c r="E{last_row(long_offer)}"[^>]*><v>(\d+)</v>'.encode(), text)
                text = text[: held.start(1)] + b"%d" % (int(held[1]) + 3) + text[held.end(1) :]
            packed.writestr(name, text)
    return target.getvalue()


def last_row(long_offer):
    return len(long_offer.estimate.bill.lines) + 4


def wanted(long_offer):
    line = long_offer.estimate.bill.lines[-1].line
    return (Change(line.part, "ordered", line.ordered, line.ordered + 3, f"Pricing!E{last_row(long_offer)}"),)


def room_left(content):
    unpacked = sum(entry.file_size for entry in zipfile.ZipFile(io.BytesIO(content)).infolist())
    return LARGEST_FILE / len(content), LARGEST_CONTENT / unpacked


def test_a_change_in_the_last_of_many_lines_comes_back():
    long_offer = an_offer_of(LINES // 10)
    found = read_workbook(changed(long_offer), long_offer, HEAD)
    assert found.changes == wanted(long_offer)
    assert found.faults == ()


def test_a_change_in_the_last_of_ten_thousand_lines_comes_back_when_another_program_has_saved_it(tmp_path):
    long_offer = an_offer_of(LINES)
    written = changed(long_offer)
    [saved] = by_libreoffice([written], tmp_path)
    assert min(*room_left(written), *room_left(saved)) > 2
    found = read_workbook(saved, long_offer, HEAD)
    assert found.changes == wanted(long_offer)
    assert found.faults == ()
