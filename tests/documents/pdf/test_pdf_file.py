"""The file written anew: nothing of the library's file is lost, other programs read it, and it is packed.

Read back with pikepdf and qpdf; the library's own file is the reference.
"""

import io
import subprocess

import pikepdf
import pytest
from reportlab.pdfgen.canvas import Canvas

from estimator.documents.calculation.pdf import write_calculation
from estimator.documents.fonts.faces import REGULAR, ensure_fonts
from estimator.documents.pdf.file import packed_with_structure
from estimator.documents.pdf.tags import Tags
from estimator.documents.quote.pdf import write_quote
from estimator.documents.saw_list.pdf import write_saw_list
from estimator.documents.setting_out.pdf import write_setting_out
from tests.documents.offers import a_header, an_offer, with_lines
from tests.references import require


def a_plain_file(pages):
    """Some pages by the library alone, a link and a bookmark among them."""
    ensure_fonts()
    out = io.BytesIO()
    canvas = Canvas(out, invariant=1, pageCompression=0)
    canvas.setTitle("endobj stream 1 0 obj")
    for number in range(pages):
        canvas.setFont(REGULAR, 10)
        canvas.drawString(50, 700, f"page {number} endstream endobj Ł½")
        canvas.bookmarkPage(f"p{number}")
        canvas.addOutlineEntry(f"chapter {number}", f"p{number}")
        canvas.linkURL("https://example.com/(a)", (50, 690, 100, 710))
        canvas.showPage()
    canvas.save()
    return out.getvalue()


@pytest.mark.parametrize("pages", [1, 40])
def test_every_page_and_property_of_the_librarys_file_is_there(pages):
    before = a_plain_file(pages)
    after = packed_with_structure(before, Tags())
    with pikepdf.open(io.BytesIO(before)) as old, pikepdf.open(io.BytesIO(after)) as new:
        assert len(new.pages) == pages
        for one, other in zip(new.pages, old.pages, strict=True):
            assert one.Contents.read_bytes() == other.Contents.read_bytes()
            assert one.MediaBox == other.MediaBox
            assert sorted(one.Resources.Font.keys()) == sorted(other.Resources.Font.keys())
            for name, font in one.Resources.Font.items():
                if "/FontDescriptor" in font:
                    program = other.Resources.Font[name].FontDescriptor.FontFile2.read_bytes()
                    assert font.FontDescriptor.FontFile2.read_bytes() == program
            assert str(one.Annots[0].A.URI) == "https://example.com/(a)"
        assert dict(new.docinfo) == dict(old.docinfo)
        assert int(new.Root.Outlines.Count) == int(old.Root.Outlines.Count) == pages
    assert len(after) < len(before)


@pytest.mark.parametrize("write", [write_quote, write_setting_out, write_calculation, write_saw_list])
def test_qpdf_finds_no_fault_in_any_document(write, tmp_path):
    path = tmp_path / "document.pdf"
    path.write_bytes(write(an_offer("loaded"), a_header()))
    checked = subprocess.run([require("qpdf"), "--check", str(path)], capture_output=True, text=True, check=False)
    assert checked.returncode == 0, checked.stderr


def test_what_is_no_stream_lies_packed():
    written = write_quote(with_lines(an_offer("plain"), 300), a_header())
    assert b"/StructElem" not in written
    assert written.count(b"/ObjStm") > 5
    assert len(written) < 100_000


def test_a_file_that_is_not_the_librarys_is_refused():
    with pytest.raises(ValueError, match="table of objects"):
        packed_with_structure(b"%PDF-1.4\n\nxref\nnothing", Tags())
