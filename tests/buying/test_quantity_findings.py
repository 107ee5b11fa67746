"""The estimator's own quantities against the counts. The bounds are the rule's own arithmetic, worked by hand beside
each case; the rule itself is common practice, no source."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from estimator.buying import buy, quantity_findings
from estimator.job import LineChange
from estimator.pricebook import Defaults, SpareRule
from estimator.takeoff.records import NetLine, RuleShare
from tests.builders import a_book, a_part


def _share(asked):
    return RuleShare("rule", Fraction(1), "attachments", 1, Fraction(asked), Fraction(asked))


def _net(part, count):
    return NetLine(part, "bracket", count, (_share(count),))


PARTS = {
    "X": a_part("X", "bracket", None, 0.1, "1.00", 25),
    "Y": a_part("Y", "screw", None, 0.1, "1.00", 1),
    "Z": a_part("Z", "nut", None, 0.1, "1.00", 10),
}
BOOK = a_book(parts=PARTS, spares={"default": SpareRule(rate=Decimal("0.10"))})


def _found(*changes, book=BOOK):
    net = [_net("X", 120), _net("Y", 10)]
    return {
        (each.code, each.place.part): each for each in quantity_findings(net, buy(net, book, changes), book, changes)
    }


def test_without_changes_there_is_nothing_to_say():
    assert _found() == {}


def test_less_than_the_counts_require_is_an_error_with_part_required_and_ordered():
    finding = _found(LineChange("X", ordered=100))["ordered_below_required", "X"]
    assert (finding.severity, finding.found, finding.allowed) == ("error", 100.0, 120.0)


def test_spares_may_be_left_out_without_an_error():
    """120 required, 12 spares by the book's rate: 125 hold the counts."""
    assert _found(LineChange("X", ordered=125)) == {}


def test_a_struck_part_that_the_counts_require_is_short_too():
    finding = _found(LineChange("X", struck=True))["ordered_below_required", "X"]
    assert (finding.found, finding.allowed) == (0.0, 120.0)


def test_a_date_typed_into_a_quantity_is_out_of_proportion():
    """2026-12-02 is day 46,358 of a spreadsheet; 3 × 132 required + one pack of 25 = 421."""
    finding = _found(LineChange("X", ordered=46_357))["ordered_out_of_proportion", "X"]
    assert (finding.severity, finding.found, finding.allowed) == ("error", 46_357.0, 421.0)


@pytest.mark.parametrize(("ordered", "refused"), [(421, False), (422, True)])
def test_the_bound_is_three_times_the_required_and_one_pack(ordered, refused):
    assert (("ordered_out_of_proportion", "X") in _found(LineChange("X", ordered=ordered))) is refused


def test_a_book_may_set_the_factor():
    """1.5 × 132 + 25 = 223."""
    book = replace(BOOK, defaults=Defaults(freight_zone="near", order_factor_max=Decimal("1.5")))
    assert _found(LineChange("X", ordered=224), book=book)["ordered_out_of_proportion", "X"].allowed == 223.0


def test_a_part_that_no_count_asks_for_is_judged_by_the_largest_count():
    """3 × 132 + one pack of 10 = 406."""
    assert ("ordered_out_of_proportion", "Z") not in _found(LineChange("Z", ordered=400))
    assert _found(LineChange("Z", ordered=410))["ordered_out_of_proportion", "Z"].allowed == 406.0


def test_a_split_pack_and_a_change_of_no_line_are_told():
    """999 of packs of 25 are 39.96 packs; 40 packs are 1,000."""
    split = _found(LineChange("X", ordered=999))["pack_split", "X"]
    assert (split.severity, split.allowed) == ("warning", 1000.0)
    assert _found(LineChange("Z", unit_price=Decimal(2)))["change_without_line", "Z"].severity == "warning"
    assert _found(LineChange("Z", struck=True))["change_without_line", "Z"].severity == "warning"
