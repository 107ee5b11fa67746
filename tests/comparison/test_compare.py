"""Like is compared with like: the same changes on both sides, and both sides cut with the same effort."""

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.comparison import offer
from estimator.estimate import estimate
from estimator.job import Choices, LineChange, Mounting
from tests.builders import a_book, a_job, a_roof, an_array
from tests.documents.offers import DATED

OPEN = Mounting(arrangement="rail_on_side")


def _job(columns):
    return a_job(a_roof(eave_length_mm=40_000.0, arrays=(an_array(rows=3, columns=columns),)), mounting=OPEN)


@pytest.mark.parametrize("columns", [7, 13, 26])
def test_each_side_is_what_asking_for_that_material_outright_gives(columns):
    """Source: the same tool asked for the material alone."""
    made = offer(_job(columns), a_book(), Choices(), DATED)
    for side in (made.comparison.aluminium, made.comparison.steel):
        outright = estimate(_job(columns), a_book(), Choices(material=side.option, arrangement="rail_on_side"), DATED)
        assert side.total == outright.bill.totals.total
    assert made.comparison.basis == ""


def test_changes_and_discounts_of_lines_are_left_out_on_both_sides_and_that_is_said():
    """A discount of a quarter on the quoted bracket alone would make its material look the cheaper one."""
    job, book = _job(7), a_book()
    plain = offer(job, book, Choices(material="aluminium"), DATED)
    choices = Choices(
        material="aluminium",
        line_discounts=(("B-AL", Decimal("0.25")),),
        line_changes=(LineChange("SC-AL", ordered=500),),
    )
    changed = offer(job, book, choices, DATED)
    assert changed.estimate.bill.totals.total != plain.estimate.bill.totals.total
    sides = replace(changed.comparison, basis="")
    assert (sides.aluminium.total, sides.steel.total) == (
        plain.comparison.aluminium.total,
        plain.comparison.steel.total,
    )
    assert sides.saving_total == plain.comparison.saving_total
    assert "without the changes" in changed.comparison.basis
