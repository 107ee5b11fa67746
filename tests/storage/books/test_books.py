"""A pricebook's folder becomes the book it describes, in the inside units, and every edition has its hash."""

import io
import zipfile
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from estimator.errors import NotFound, PricebookRefused
from estimator.pricebook import PriceBreak, SpareRule
from estimator.storage.books import (
    book_in_force,
    find_editions,
    folder_sha256,
    read_book,
    read_book_files,
    read_book_zip,
)
from tests.facts import refusing
from tests.storage.books.book_files import EU, US, records_of, us_files, with_cell, with_head, written


@pytest.fixture(scope="module")
def us_book():
    return read_book(US)


def test_lengths_forces_and_strengths_arrive_in_mm_newton_and_n_per_mm2(us_book):
    bracket = us_book.brackets["TG-A27"]
    assert bracket.rib_height_mm == pytest.approx((25.4, 47.625))  # 1 in to 1 7/8 in
    assert bracket.heights_mm["rail_on_side"] == pytest.approx(2.6 * 25.4)
    assert bracket.max_span_mm == pytest.approx(60 * 25.4)
    test = next(each for each in us_book.brackets["TG-A20"].tests if each.direction == "uplift")
    assert test.ultimate_n == pytest.approx(970 * 4.4482216152605)  # NIST SP 811, appendix B.8
    assert test.sheet_strength_mpa == pytest.approx(60 * 6.894757, rel=1e-6)  # NIST SP 811: 1 ksi = 6.894757 MPa


def test_a_gauge_is_the_thickness_of_steel_sheet(us_book):
    thicknesses = {
        each.sheet_thickness_mm for each in us_book.brackets["TG-A20"].tests if each.sheet_material == "steel"
    }
    # Manufacturers' Standard Gauge: 29 ga 0.0135 in, 26 ga 0.0179 in, 24 ga 0.0239 in
    assert sorted(round(each / 25.4, 4) for each in thicknesses) == [0.0135, 0.0179, 0.0239]


def test_money_and_counts_are_exact(us_book):
    screw = us_book.parts["TG-SCR12"]
    assert (screw.cost, screw.pack_size) == (Decimal("0.1480"), 250)
    assert screw.breaks[0] == PriceBreak(2000, Decimal("0.1376")) or screw.breaks[0].from_quantity == 2000
    rules = {rule.rule: rule for rule in us_book.rules}
    assert (rules["screws"].count, rules["screws"].for_each, rules["screws"].per) == (Fraction(4), "attachments", 1)
    assert (rules["labels"].count, rules["labels"].for_each, rules["labels"].per) == (Fraction(1), "modules", 10)
    assert rules["extra-nut"].when.arrangements == {"direct"}


def test_spares_come_by_rate_and_by_loss_rate_with_confidence(us_book):
    assert us_book.spares["screw"] == SpareRule(rate=Decimal("0.03"))
    assert us_book.spares["cable_clip"] == SpareRule(Decimal(0), Decimal("0.02"), Decimal("0.95"))


def test_margin_and_markup_are_named_apart(us_book):
    assert (us_book.pricing_method, us_book.pricing_rate) == ("margin", Decimal("0.31"))
    assert read_book(EU).pricing_method == "markup"


def test_what_a_spreadsheet_does_to_a_csv_changes_nothing(us_book):
    """A byte order mark, CRLF, semicolons, empty rows and columns at the end."""
    files = us_files()
    for table in [name for name in files if name.endswith(".csv")]:
        records = [[*record, "", ""] for record in records_of(files, table)]
        records += [[""] * len(records[0]), []]
        files[table] = b"\xef\xbb\xbf" + written(records, ";", "\r\n")
    files["book.toml"] = files["book.toml"].replace(b"\n", b"\r\n")
    again = read_book_files(files)
    assert again.sha256 != us_book.sha256
    for name in ("parts", "brackets", "rails", "clamps", "splices", "rules", "suppliers", "freight", "labour", "tax"):
        assert getattr(again, name) == getattr(us_book, name), name


def test_a_percentage_is_a_share():
    assert read_book_files(with_cell("parts.csv", 2, "spare_rate", "2 %")).parts["TG-A20"].spare == SpareRule(
        rate=Decimal("0.02")
    )


def test_an_optional_table_may_be_missing():
    files = us_files()
    del files["price_breaks.csv"], files["screw_joints.csv"]
    book = read_book_files(files)
    assert all(part.breaks == () for part in book.parts.values())


def test_the_hash_is_of_the_files_and_not_of_their_order(tmp_path):
    files = us_files()
    for name in sorted(files, reverse=True):
        (tmp_path / name).write_bytes(files[name])
    (tmp_path / ".~lock.parts.csv#").write_text("a spreadsheet has this open")
    (tmp_path / "~$parts.csv").write_text("so has this one")
    assert folder_sha256(tmp_path) == folder_sha256(US) == read_book(tmp_path).sha256
    (tmp_path / "parts.csv").write_bytes(files["parts.csv"].replace(b"6.12", b"6.13"))
    assert folder_sha256(tmp_path) != folder_sha256(US)


def _zipped(files, folder=""):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(folder + name, content)
    return out.getvalue()


@pytest.mark.parametrize("folder", ["", "prairie-us/2026-12/"])
def test_an_uploaded_zip_is_the_same_book(us_book, folder):
    assert read_book_zip(_zipped(us_files(), folder)) == us_book


@pytest.mark.parametrize(
    "archive",
    [
        b"no zip",
        _zipped({"a/parts.csv": b"", "b/parts.csv": b""}),
        _zipped({"parts.csv": b"x" * 5_000_001}),
        _zipped({f"{number}.csv": b"" for number in range(61)}),
    ],
    ids=["no zip", "two folders", "a file too large", "too many files"],
)
def test_a_zip_that_is_no_single_edition_is_refused(archive):
    with pytest.raises(PricebookRefused) as refused:
        read_book_zip(archive)
    assert refused.value.faults


def test_a_file_over_five_megabytes_is_refused(tmp_path):
    (tmp_path / "parts.csv").write_bytes(b"x" * 5_000_001)
    with pytest.raises(PricebookRefused):
        read_book(tmp_path)
    with pytest.raises(PricebookRefused):
        read_book_files({"parts.csv": b"x" * 5_000_001})


def test_a_folder_that_is_not_there_is_refused(tmp_path):
    with pytest.raises(PricebookRefused):
        read_book(tmp_path / "nothing")


# Editions


def _edition(root, name, valid_from, valid_until, book="prairie-us"):
    files = with_head("valid_from = 2026-11-24", f"valid_from = {valid_from}")
    head = (
        files["book.toml"]
        .decode()
        .replace("2099-12-31", valid_until)
        .replace('edition = "2026-12"', f'edition = "{name}"')
    )
    folder = root / book / name
    folder.mkdir(parents=True)
    (folder / "book.toml").write_text(head)


def test_the_edition_in_force_is_the_one_that_began_last(tmp_path):
    _edition(tmp_path, "a", "2026-01-01", "2026-12-31")
    _edition(tmp_path, "b", "2026-06-01", "2026-08-31")
    editions = find_editions([tmp_path])
    found = {day: book_in_force(editions, "prairie-us", date.fromisoformat(day)).edition for day in (
        "2026-01-01", "2026-05-31", "2026-06-01", "2026-08-31", "2026-09-01", "2026-12-31",
    )}  # fmt: skip
    assert list(found.values()) == ["a", "a", "b", "b", "a", "a"]


def test_no_edition_in_force_is_said_with_the_periods_there_are(tmp_path):
    _edition(tmp_path, "a", "2026-01-01", "2026-12-31")
    editions = find_editions([tmp_path])
    with refusing(NotFound, holds=("a: 2026-01-01 to 2026-12-31", date(2027, 1, 1))):
        book_in_force(editions, "prairie-us", date(2027, 1, 1))
    with refusing(NotFound, holds=("'other'",)):
        book_in_force(editions, "other", date(2026, 1, 1))


def test_a_folder_named_otherwise_than_its_head_is_a_fault(tmp_path):
    _edition(tmp_path, "a", "2026-01-01", "2026-12-31", book="renamed")
    with pytest.raises(PricebookRefused) as refused:
        find_editions([tmp_path])
    assert [fault.pointer for fault in refused.value.faults] == ["renamed/a/book.toml, id"]


def test_two_editions_that_begin_on_one_day_are_a_fault(tmp_path):
    _edition(tmp_path, "a", "2026-01-01", "2026-12-31")
    _edition(tmp_path, "b", "2026-01-01", "2026-06-30")
    with pytest.raises(PricebookRefused) as refused:
        find_editions([tmp_path])
    assert refused.value.faults[0].pointer == "prairie-us/b/book.toml, valid_from"


def test_a_supplier_may_have_a_language_and_units_of_its_own():
    files = with_cell("suppliers.csv", 2, "language", "fr", with_cell("suppliers.csv", 2, "units", "both"))
    supplier = read_book_files(files).suppliers["oddmarsh"]
    assert (supplier.language, supplier.units) == ("fr", "us_metric")
    others = read_book_files(files).suppliers["quillbarb"]
    assert (others.language, others.units) == ("", None)
    for column, wrong in (("language", "it"), ("units", "inches")):
        with pytest.raises(PricebookRefused) as refused:
            read_book_files(with_cell("suppliers.csv", 2, column, wrong))
        assert [(each.pointer.row, each.pointer.column) for each in refused.value.faults] == [(2, column)]


def test_an_edition_without_the_column_of_an_arrangement_has_no_bracket_for_it():
    """Editions stay readable when an arrangement is added."""
    files = us_files()
    records = records_of(files, "brackets.csv")
    at = records[0].index("height_direct")
    files["brackets.csv"] = written([[*record[:at], *record[at + 1 :]] for record in records])
    books = read_book_files(us_files()), read_book_files(files)
    before, after = ({part: set(b.heights_mm) for part, b in book.brackets.items()} for book in books)
    assert before != after == {part: ways - {"direct"} for part, ways in before.items()}
