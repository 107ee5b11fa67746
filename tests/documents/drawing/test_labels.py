"""No text of a drawing stands on another or on a module: by boxes, on made-up roofs of 24 to 25,000 modules.

The boxes are measured here anew: widths by the PDF library's own figures of the faces, heights by the faces' ascent.
"""

from itertools import pairwise

import pytest
from reportlab.pdfbase.pdfmetrics import stringWidth

from estimator.documents.drawing.annotations import annotate
from estimator.documents.drawing.marks import rulers
from estimator.documents.drawing.sheets import plan_pages, sheets_of
from estimator.documents.drawing.words import notes
from estimator.documents.fonts.faces import BOLD, REGULAR, ensure_fonts
from estimator.documents.language.texts import reader_for
from tests.documents.drawing.roofs import FEWEST, MOST, ROOFS, a_drawn_roof

READERS = [reader_for("en", "GB", "metric"), reader_for("de", "DE", "metric"), reader_for("en", "US", "us"),
           reader_for("fr", "FR", "us_metric"), reader_for("es", "ES", "us_metric")]  # fmt: skip
ASCENT, DESCENT = 0.76, 0.23
"""Of DejaVu Sans' capitals with accents, and of its letters below the line; measured on the face."""


def box(label, paper):
    ensure_fonts()
    wide = stringWidth(label.text, BOLD if label.bold else REGULAR, label.size_mm) * paper
    left = {"start": 0.0, "middle": -wide / 2, "end": -wide}[label.anchor]
    up, down = ASCENT * label.size_mm * paper, DESCENT * label.size_mm * paper
    if label.turned:
        return label.x - up, label.y + left, label.x + down, label.y + left + wide
    return label.x + left, label.y - down, label.x + left + wide, label.y + up


def overlap(one, other):
    return one[0] < other[2] and one[2] > other[0] and one[1] < other[3] and one[3] > other[1]


def clashes(labels, modules, paper):
    """Every pair of texts that overlap, and every text that stands on a module."""
    boxes = [(label.text, box(label, paper)) for label in labels]
    for at, (text, one) in enumerate(boxes):
        for other_text, other in boxes[at + 1 :]:
            if overlap(one, other):
                yield text, other_text
        if any(overlap(one, module) for module in modules):
            yield text, "a module"


def drawn_on_paper(number):
    plan, reader = a_drawn_roof(number), READERS[number % len(READERS)]
    lying = plan.width_mm > 1.15 * plan.height_mm
    return plan, reader, sheets_of(plan, reader, "A4" if number % 2 else "letter", lying)


def test_the_roofs_reach_from_few_modules_to_many():
    counts = [len(a_drawn_roof(number).modules) for number in range(ROOFS)]
    assert (min(counts), max(counts)) == (FEWEST, MOST)
    assert all(few < many for few, many in pairwise(counts))


@pytest.mark.parametrize("number", range(ROOFS))
def test_no_text_of_an_overview_stands_on_another_or_on_a_module(number):
    plan, _, (scale, _, _, drawn) = drawn_on_paper(number)
    assert list(clashes(drawn.labels, plan.modules, scale.denominator)) == []


@pytest.mark.parametrize("number", range(ROOFS))
def test_everything_is_named_on_the_overview_or_in_its_notes(number):
    plan, reader, (_, _, parts, drawn) = drawn_on_paper(number)
    texts = {label.text for label in drawn.labels}
    told = " ".join(notes(plan, reader, drawn.untold))
    names = {reader.texts.t("Array {name}", name=array.name) for array in plan.arrays}
    names |= {each.name for each in plan.obstructions} | {zone.tag for zone in plan.zones}
    assert {name for name in names if name not in texts and name not in told} == set()
    assert {tile.column for tile in parts} | {tile.row for tile in parts} <= texts


@pytest.mark.parametrize("number", range(0, ROOFS, 7))
def test_no_text_beside_a_further_sheet_stands_on_another(number):
    plan, reader, (_, detail, parts, _) = drawn_on_paper(number)
    for tile in parts[:6]:
        labels = list(rulers(plan, tile.window, detail.denominator, reader))
        assert list(clashes(labels, (), detail.denominator)) == []


@pytest.mark.parametrize("number", range(0, ROOFS, 7))
def test_on_other_media_too_no_text_stands_on_another(number):
    plan, reader = a_drawn_roof(number), READERS[number % len(READERS)]
    for paper in (max(plan.width_mm / 270, plan.height_mm / 190), max(plan.width_mm, 1.4 * plan.height_mm) / 400):
        assert list(clashes(annotate(plan, paper, reader).labels, plan.modules, paper)) == []


def test_a_large_roof_is_broken_into_sheets_where_a_module_can_be_seen():
    plan, reader, (_, detail, parts, _) = drawn_on_paper(ROOFS - 1)
    assert detail is not None
    short = min(plan.modules[0][2] - plan.modules[0][0], plan.modules[0][3] - plan.modules[0][1])
    assert short / detail.denominator >= 6.0
    assert len(plan_pages([plan], reader, "A4")) > len(parts)
