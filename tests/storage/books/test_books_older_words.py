"""An edition that names arrangements as version 0.1 did is read as it is, and keeps its hash."""

from pathlib import Path

from estimator.demo import books_folder
from estimator.storage.books import files_of_folder, folder_sha256, read_book, read_book_files
from tests.facts import facts
from tests.storage.books.book_files import codes_in, faults_in, records_of, us_files, written

OLDER = Path(__file__).parent / "older_edition" / "2026-03"
SHA256 = "64ef6a592343d5557618d188ce3c84e28c497408a2a517f1cb23514420ff2ab8"
"""As version 0.1 had it: FIPS 180-4 over the names, sizes and bytes of the files. Quotes of then stand on it."""
TODAY = {b"side_rail": b"rail_on_side", b"bottom_rail": b"rail_on_top"}


def in_words_of_today(files):
    """The files of an edition with the words of today for those of version 0.1."""
    changed = dict(files)
    for old, new in TODAY.items():
        changed = {name: content.replace(old, new) for name, content in changed.items()}
    return changed


def in_older_words(files):
    """The other way round."""
    changed = dict(files)
    for old, new in TODAY.items():
        changed = {name: content.replace(new, old) for name, content in changed.items()}
    return changed


def test_the_edition_has_the_older_words():
    files = files_of_folder(OLDER)
    assert b"height_side_rail;height_bottom_rail" in files["brackets.csv"]
    assert not any(b"rail_on" in content for content in files.values())


def test_no_shipped_edition_has_them():
    for folder in sorted(books_folder().glob("*/*")):
        assert not any(word in content for content in files_of_folder(folder).values() for word in TODAY), folder


def test_an_edition_in_older_words_keeps_its_hash():
    assert folder_sha256(OLDER) == read_book(OLDER).sha256 == SHA256


def test_older_words_and_those_of_today_make_the_same_book():
    for folder in (OLDER, *sorted(books_folder().glob("*/*"))):
        files = files_of_folder(folder)
        older, today = in_older_words(files), in_words_of_today(files)
        assert older != today
        book, same = read_book_files(older), read_book_files(today)
        assert (book.brackets, book.rails, book.clamps) == (same.brackets, same.rails, same.clamps)
        assert (book.rules, book.labour, book.parts) == (same.rules, same.labour, same.parts)
        assert book.sha256 != same.sha256


def test_what_an_edition_in_older_words_offers_is_named_in_those_of_today():
    book = read_book(OLDER)
    assert {name for each in book.brackets.values() for name in each.heights_mm} == {
        "rail_on_side", "rail_on_top", "direct",
    }  # fmt: skip
    assert {name for each in book.rails.values() for name in each.arrangements} == {"rail_on_side", "rail_on_top"}
    conditions = [rule.when.arrangements for rule in (*book.rules, *book.labour)]
    assert {"rail_on_side", "rail_on_top"} in conditions


def test_a_column_by_its_older_and_its_present_name_stands_twice():
    files = in_words_of_today(us_files())
    records = [[*record, record[records_of(files, "brackets.csv")[0].index("height_rail_on_side")]]
               for record in records_of(files, "brackets.csv")]  # fmt: skip
    records[0][-1] = "height_side_rail"
    found = {**files, "brackets.csv": written(records)}
    assert [code for _, code in codes_in(found)] == ["named_twice"]
    assert [facts(message) for _, message, _ in faults_in(found)] == [["'height_rail_on_side'"]]


def test_an_older_word_elsewhere_than_among_arrangements_stays():
    files = us_files()
    records = records_of(files, "assembly_rules.csv")
    note = records[0].index("note")
    plain = next(at for at, record in enumerate(records) if not record[note])
    records[plain][note] = "side_rail"
    book = read_book_files({**files, "assembly_rules.csv": written(records)})
    assert book.rules[plain - 1].note == "side_rail"
