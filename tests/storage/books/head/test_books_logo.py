"""A house's logo: read from beside the head, known by its content, measured before it is unpacked; faults with places.

What a PNG begins with: ISO/IEC 15948 (the signature and IHDR); the limits are this project's own.
"""

import io
import struct
import zipfile
import zlib
from dataclasses import replace

import pytest
from PIL import Image

from estimator.contract.fault_codes import code_of
from estimator.errors import Refused
from estimator.service.catalogue import Catalogue
from estimator.settings import from_environment
from estimator.storage.books import files_of_folder, read_book, read_book_files, read_book_zip
from estimator.storage.books.files import files_sha256
from estimator.storage.records.codec import freeze, thaw
from tests.facts import facts
from tests.marks import a_mark, drawn
from tests.storage.books.book_files import US, codes_in, faults_in, us_files, with_head

PNG, JPEG = a_mark(), a_mark("JPEG")


def with_logo(content, name="logo.png"):
    """The US book with a logo named in its head."""
    return with_head("[seller]", f'[seller]\nlogo = "{name}"') | ({} if content is None else {name: content})


def a_bomb(wide=60_000, high=60_000):
    """A small PNG whose head promises far more pixels than may be unpacked."""
    head = struct.pack(">IIBBBBB", wide, high, 8, 2, 0, 0, 0)
    parts = [(b"IHDR", head), (b"IDAT", zlib.compress(b"\0" * 1000)), (b"IEND", b"")]
    chunks = (struct.pack(">I", len(d)) + n + d + struct.pack(">I", zlib.crc32(n + d)) for n, d in parts)
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunks)


def moving():
    out = io.BytesIO()
    drawn().save(out, "PNG", save_all=True, append_images=[drawn().rotate(90)], duration=100)
    return out.getvalue()


def gif():
    out = io.BytesIO()
    drawn().save(out, "GIF")
    return out.getvalue()


def noisy(size):
    """A picture that packs badly."""
    out = io.BytesIO()
    Image.effect_noise(size, 90).save(out, "PNG")
    return out.getvalue()


@pytest.mark.parametrize(("name", "content", "kind"), [("logo.png", PNG, "png"), ("mark.JPG", JPEG, "jpeg")])
def test_a_logo_is_read_as_it_is_with_its_size(name, content, kind):
    logo = read_book_files(with_logo(content, name)).seller.logo
    assert (logo.content, logo.kind, logo.width, logo.height) == (content, kind, 320, 120)


def test_what_a_logo_is_follows_its_content_not_its_name():
    assert read_book_files(with_logo(JPEG, "logo.png")).seller.logo.kind == "jpeg"


SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'
BAD = {
    "no file": (None, "missing"),
    "a drawing that may run scripts": (SVG, "unreadable_file"),
    "another kind": (gif(), "unreadable_file"),
    "nothing": (b"", "unreadable_file"),
    "cut short": (PNG[: len(PNG) // 2], "unreadable_file"),
    "a signature alone": (PNG[:8] + b"rubbish" * 9, "unreadable_file"),
    "too many bytes": (noisy((800, 600)), "too_large"),
    "too many pixels": (a_bomb(), "unreadable_file"),
    "a line": (a_mark(size=(900, 8)), "too_large"),
    "colours for presses": (a_mark("JPEG", mode="CMYK"), "not_allowed"),
    "moving": (moving(), "not_allowed"),
}


@pytest.mark.parametrize(("content", "code"), BAD.values(), ids=BAD)
def test_what_is_no_logo_is_said_with_its_place_and_what_is_allowed(content, code):
    ((pointer, _, allowed),) = faults_in(with_logo(content))
    assert pointer == ("book.toml, seller.logo" if content is None else "logo.png")
    assert codes_in(with_logo(content)) == [(pointer, code)]
    assert "PNG or JPEG" in allowed
    assert "300,000 bytes" in allowed


@pytest.mark.parametrize("name", ["../logo.png", "logo.svg", "/etc/logo.png", "a b.png", ".logo.png", "logo"])
def test_a_logo_lies_beside_the_head(name):
    files = with_head("[seller]", f'[seller]\nlogo = "{name}"')
    assert codes_in(files) == [("book.toml, seller.logo", "not_allowed")]
    assert facts(faults_in(files)[0][1]) == [repr(name)]


def test_an_edition_without_a_logo_keeps_its_hash_whatever_lies_beside_it(tmp_path):
    """SHA-256 over the book's own files, as every estimate carries it."""
    for name, content in us_files().items():
        (tmp_path / name).write_bytes(content)
    before = read_book(tmp_path)
    (tmp_path / "logo.png").write_bytes(PNG)
    after = read_book(tmp_path)
    assert before.sha256 == after.sha256 == files_sha256(files_of_folder(US))
    assert after.seller.logo is None


def test_a_logo_is_part_of_the_editions_hash_in_a_folder_and_in_a_zip(tmp_path):
    files = with_logo(PNG)
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        for name, content in files.items():
            (tmp_path / name).write_bytes(content)
            archive.writestr(f"edition/{name}", content)
    folder, unpacked = read_book(tmp_path), read_book_zip(packed.getvalue())
    assert folder.sha256 == unpacked.sha256 != read_book_files(with_logo(a_mark(size=(322, 120)))).sha256
    assert folder.seller == unpacked.seller


def test_a_book_is_kept_with_its_logo_and_an_older_one_comes_back_without():
    book = read_book_files(with_logo(PNG))
    assert thaw(freeze(book)) == book
    old = zlib.decompress(freeze(replace(book, seller=replace(book.seller, logo=None))))
    assert old.count(b',"logo":null') == 1
    assert thaw(zlib.compress(old.replace(b',"logo":null', b""))).seller.logo is None


def test_the_settings_logo_heads_books_that_have_none(tmp_path):
    house, own = tmp_path / "house.png", a_mark(size=(200, 100))
    house.write_bytes(PNG)
    logo = from_environment({"ESTIMATOR_LOGO": str(house)}).logo
    assert (logo.content, logo.width) == (PNG, 320)
    for name, edition in (("prairie-us", us_files()), ("own", with_logo(own))):
        head = edition["book.toml"].replace(b'id = "prairie-us"', f'id = "{name}"'.encode())
        files = {**edition, "book.toml": head}
        folder = tmp_path / "books" / name / "2026-12"
        folder.mkdir(parents=True)
        for file, content in files.items():
            (folder / file).write_bytes(content)
    books = {book.id: book for book in Catalogue([tmp_path / "books"], logo=logo).books("")}
    assert books["prairie-us"].seller.logo == logo
    assert books["own"].seller.logo.content == own
    assert all(book.seller.logo is None for book in Catalogue([tmp_path / "books" / ".."], logo=None).books(""))


@pytest.mark.parametrize(
    ("content", "code"), [(SVG, "unreadable_file"), (None, "missing"), (b"x" * 400_000, "too_large")]
)
def test_a_setting_that_is_no_logo_is_refused_at_the_start(content, code, tmp_path):
    path = tmp_path / "logo.svg"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(Refused) as refused:
        from_environment({"ESTIMATOR_LOGO": str(path)})
    (fault,) = refused.value.faults
    assert (fault.pointer, code_of(fault)) == ("ESTIMATOR_LOGO", code)
    assert "PNG or JPEG" in fault.allowed
