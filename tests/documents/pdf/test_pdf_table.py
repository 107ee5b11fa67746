"""Tables that set fast beside the library's own: the same words in the same places, row heights and page breaks alike.

Checked against the library's table, read back with poppler.
"""

import io
import re
import subprocess

import pytest
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import SimpleDocTemplate, Table

from estimator.documents.fonts.faces import BOLD, REGULAR, ensure_fonts, text_width
from estimator.documents.pdf.parts import BASE, HEAD, ROW_LINES, paragraph, right_from
from estimator.documents.pdf.table import quick_table
from tests.references import require

HEADS = ["Part (old)", "Text", "Amount"]
TEXTS = [r"back\slash", "(brackets) ((two))", "Größe Łódź ½ in ²", "", "−12,50 €", "two\nlines", "x" * 40, "  spaces  "]


def words(table, tmp_path, name):
    """Every word with its page and place."""
    out = io.BytesIO()
    SimpleDocTemplate(out, invariant=1).build([table])
    path = tmp_path / f"{name}.pdf"
    path.write_bytes(out.getvalue())
    read = subprocess.run([require("pdftotext"), "-bbox", str(path), "-"], capture_output=True, text=True, check=True)
    page, found = 0, []
    for line in read.stdout.splitlines():
        page += "<page " in line
        if word := re.search(r'xMin="(.+?)" yMin="(.+?)" xMax="(.+?)" yMax="(.+?)">(.*?)</word>', line):
            found.append((page, word[5], *(float(word[at]) for at in (1, 2, 3, 4))))
    return found


def rows_of(count):
    return [HEADS, *([f"P-{n:03d}", TEXTS[n % len(TEXTS)], f"{n},25"] for n in range(count))]


@pytest.mark.parametrize("valign", ["TOP", "MIDDLE", "BOTTOM"])
def test_words_stand_where_the_librarys_own_table_puts_them(valign, tmp_path):
    ensure_fonts()
    commands = [*BASE, *HEAD, right_from(2), ROW_LINES, ("VALIGN", (0, 1), (-1, -1), valign),
                ("FONT", (0, 3), (-1, 3), BOLD, 10.5), ("LEFTPADDING", (0, 2), (1, 4), 11),
                ("SPAN", (0, 7), (1, 7)), ("SPAN", (1, -1), (2, -1)),
                ("BACKGROUND", (0, 9), (-1, 9), "#eeeeee")]  # fmt: skip
    rows = rows_of(120)
    rows[7][:2] = ["a text that needs both of the cells it stands in, joined", ""]
    rows[-1][1:] = ["1,00", ""]
    rows[5][1] = paragraph("a long text that takes more than one line of its narrow column " * 3)
    own = words(
        Table([list(row) for row in rows], colWidths=[80, 200, 90], style=commands, repeatRows=1), tmp_path, "own"
    )
    rows[5][1] = paragraph("a long text that takes more than one line of its narrow column " * 3)
    quick = words(quick_table(rows, [80, 200, 90], commands, repeatRows=1), tmp_path, "quick")
    assert [each[:2] for each in quick] == [each[:2] for each in own]
    assert max(each[0] for each in own) > 2
    for one, other in zip(quick, own, strict=True):
        assert one[2:] == pytest.approx(other[2:], abs=0.01)


def test_a_text_is_as_wide_as_the_library_measures_it():
    for text in (*TEXTS, "Łódź Αθήνα Київ ₹", "25 pcs"):
        for face in (REGULAR, BOLD):
            assert text_width(text, face, 8.5) == pytest.approx(stringWidth(text, face, 8.5))


def test_a_text_that_would_run_into_its_neighbour_is_broken_between_words(tmp_path):
    ensure_fonts()
    table = quick_table([["Stangen gespart", "Masse"], ["1", "2"]], [50, 60], [*BASE, *HEAD, right_from(0)])
    found = {word: (left, top, right) for _, word, left, top, right, _ in words(table, tmp_path, "heads")}
    assert found["Stangen"][1] < found["gespart"][1]
    assert found["Stangen"][2] == pytest.approx(found["gespart"][2], abs=0.01)
    assert found["gespart"][2] - found["gespart"][0] < 50
