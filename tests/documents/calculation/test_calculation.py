"""The calculation pages: every line of the loads, what governs, and the engineer's warning, on paper."""

import math
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.documents.calculation.pdf import write_calculation
from estimator.documents.calculation.tables import number, utilisation_share
from estimator.documents.calculation.zones import zone_tables
from estimator.documents.language.texts import reader_for
from estimator.documents.pdf.page import frame_size
from tests.documents.offers import a_header, an_offer
from tests.documents.pdf_reading import SPACES, pages, text

EN = reader_for("en", "GB", "metric")


@pytest.fixture(scope="module")
def printed():
    return text(write_calculation(an_offer("loaded"), a_header()))


def test_every_step_of_the_loads_stands_on_the_pages_with_its_clause(printed):
    (roof,) = an_offer("loaded").estimate.loads.roofs
    squeezed = printed.replace(" ", "")
    for step in (*roof.sheet.wind_steps, *roof.sheet.snow_steps, *roof.sheet.dead_steps):
        for wanted in (EN.say(step.symbol), EN.formula(step.formula), EN.say(step.clause)):
            assert wanted.translate(SPACES).replace(" ", "") in squeezed, step
        if not isinstance(step.value, str):
            assert number(step.value, EN).replace(" ", "") in squeezed


def test_every_zone_has_its_lines_its_span_and_its_worst_attachment(printed):
    (roof,) = an_offer("loaded").estimate.loads.roofs
    squeezed = printed.replace(" ", "")
    for zone in roof.sheet.zones:
        assert zone.zone.replace(" ", "") in squeezed
        for step in zone.steps:
            shown = step.value if isinstance(step.value, str) else number(step.value, EN)
            assert shown.replace(" ", "") in squeezed
            assert EN.formula(step.formula).translate(SPACES).replace(" ", "") in squeezed
    for use in roof.zones:
        assert utilisation_share(use.utilisation, EN) in printed
        assert str(use.place).replace(" ", "") in squeezed


def test_zones_with_the_same_lines_stand_beside_one_another():
    (roof,) = an_offer("loaded").estimate.loads.roofs
    assert len(roof.sheet.zones) == 8
    wide, _ = frame_size("A4", lying=True)
    tables = list(zone_tables(roof.sheet.zones, EN, wide))
    assert len(tables) <= math.ceil(8 / 6) + len({tuple(step.symbol for step in z.steps) for z in roof.sheet.zones}) - 1


def test_a_line_that_is_not_confirmed_is_marked(printed):
    (roof,) = an_offer("loaded").estimate.loads.roofs
    doubtful = {(step.symbol, str(step.formula), str(step.clause), step.mark) for zone in roof.sheet.zones
                for step in zone.steps if step.mark in {"from memory", "found once"}}  # fmt: skip
    assert doubtful
    assert printed.count("! from memory") + printed.count("! found once") >= len(doubtful)


def test_every_page_says_that_an_engineer_has_to_verify_it():
    assert all("licensed engineer" in page for page in pages(write_calculation(an_offer("loaded"), a_header())))


def test_a_job_that_gives_its_spans_says_that_nothing_was_computed():
    assert "No loads were computed" in text(write_calculation(an_offer("given"), a_header()))


def test_the_same_offer_gives_the_same_pages():
    assert write_calculation(an_offer("loaded"), a_header()) == write_calculation(an_offer("loaded"), a_header())


@settings(max_examples=100, deadline=None)
@given(st.floats(1e-6, 1e9))
def test_a_number_is_written_to_four_significant_digits_or_all_of_its_whole_part(value):
    written = float(number(value, EN).replace(",", ""))
    assert math.isclose(written, value, rel_tol=5.1e-4) or abs(written - value) <= 0.5


@pytest.mark.parametrize(("used", "written"), [(1.0, "1.00"), (1.0001, "1.01"), (0.994, "1.00"), (0.5, "0.50")])
def test_a_utilisation_is_never_rounded_down(used, written):
    assert utilisation_share(used, EN) == written


@settings(max_examples=100, deadline=None)
@given(st.floats(0, 50))
def test_a_utilisation_above_one_never_reads_as_one(used):
    assert Decimal(utilisation_share(used, EN)) >= Decimal(str(round(used, 9))) - Decimal("1e-8")
