"""Options of a quote: what of the estimator's changes and words holds in them, too, and what is told instead.

The rules are common practice, no source; every expected figure is reckoned by hand beside its check.
"""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator.comparison.carried import CODE
from estimator.comparison.compare import offer
from estimator.errors import ChoiceRefused
from estimator.job import CheckOverride, Choices, LineChange, OptionChoice
from estimator.places import Place
from tests.builders import a_book, a_job

DAY = date(2026, 11, 25)
STEEL = OptionChoice("In steel", material="steel")


def made_with(**choices):
    return offer(a_job(), a_book(), Choices(options=(STEEL,), **choices), DAY)


@pytest.fixture(scope="module")
def plain():
    return made_with()


def lines_of(estimate):
    return {each.line.part: each for each in estimate.bill.lines}


def part_of(estimate, role):
    (part,) = (each.line.part for each in estimate.bill.lines if each.line.role == role)
    return part


def told(estimate):
    return [check.place.part for check in estimate.checks if check.code == CODE]


def shared_part(plain):
    """A part that both ways require as many of."""
    a, b = (lines_of(way.estimate) for way in plain.ways)
    return next(part for part in a if part in b and a[part].line.net == b[part].line.net)


def test_a_price_by_hand_holds_in_every_option_that_has_the_part(plain):
    part = shared_part(plain)
    changed = made_with(line_changes=(LineChange(part, unit_price=Decimal("9.99")),))
    for way in changed.ways:
        assert lines_of(way.estimate)[part].unit_price == Decimal("9.99")
        assert not told(way.estimate)


def test_a_price_belongs_to_its_part_and_is_told_where_an_option_has_another(plain):
    bracket = part_of(plain.estimate, "bracket")
    changed = made_with(line_changes=(LineChange(bracket, unit_price=Decimal("9.99")),))
    (option,) = changed.options
    assert option.estimate.bill == plain.options[0].estimate.bill
    assert told(option.estimate) == [bracket]
    assert not told(changed.estimate)


def test_a_struck_line_and_a_discount_follow_what_the_part_does(plain):
    a, b = (part_of(way.estimate, "bracket") for way in plain.ways)
    assert a != b
    struck = made_with(line_changes=(LineChange(a, struck=True, reason="the customer's own"),))
    assert b not in lines_of(struck.options[0].estimate)
    assert not told(struck.options[0].estimate)
    tenth = made_with(line_discounts=((a, Decimal("0.1")),))
    assert [lines_of(way.estimate)[part].discount for way, part in zip(tenth.ways, (a, b), strict=True)] == [
        Decimal("0.1"),
        Decimal("0.1"),
    ]


def test_a_quantity_by_hand_holds_where_the_counts_require_as_many(plain):
    part = shared_part(plain)
    many = lines_of(plain.estimate)[part].line.ordered * 2
    changed = made_with(line_changes=(LineChange(part, ordered=many),))
    assert [lines_of(way.estimate)[part].line.ordered for way in changed.ways] == [many, many]


def test_a_quantity_by_hand_is_told_where_the_counts_require_another():
    """Without rails the same screws hold other numbers of brackets."""
    book, direct = a_book(), OptionChoice("No rail", arrangement="direct")
    plain = offer(a_job(), book, Choices(options=(direct,)), DAY)
    a, b = (lines_of(way.estimate) for way in plain.ways)
    part = next(part for part in a if part in b and a[part].line.net != b[part].line.net)
    change = LineChange(part, ordered=a[part].line.ordered + 5, unit_price=Decimal("7.77"))
    changed = offer(a_job(), book, Choices(options=(direct,), line_changes=(change,)), DAY)
    line = lines_of(changed.options[0].estimate)[part]
    assert (line.line.ordered, line.unit_price) == (b[part].line.ordered, Decimal("7.77"))
    assert told(changed.options[0].estimate) == [part]


def test_a_line_that_is_added_is_added_in_every_option(plain):
    parts = {*lines_of(plain.estimate), *lines_of(plain.options[0].estimate)}
    extra = next(part for part in a_book().parts if part not in parts)
    changed = made_with(line_changes=(LineChange(extra, ordered=7),))
    assert [lines_of(way.estimate)[extra].line.ordered for way in changed.ways] == [7, 7]


def test_changes_of_lines_move_no_mounting_and_no_choice(plain):
    changed = made_with(line_changes=(LineChange(shared_part(plain), unit_price=Decimal("9.99")),))
    assert [way.estimate.mounting for way in changed.ways] == [way.estimate.mounting for way in plain.ways]
    assert [way.estimate.decisions for way in changed.ways] == [way.estimate.decisions for way in plain.ways]


def test_an_override_reaches_the_option_that_it_names_and_no_other():
    part = shared_part(made_with())
    short = (LineChange(part, ordered=0),)
    word = CheckOverride("ordered_below_required", Place(part=part), "on hand", by="A. Miller")

    def standing(made):
        return [letter for letter, error in made.errors if error.code == word.code]

    assert standing(made_with(line_changes=short)) == ["A", "B"]
    assert standing(made_with(line_changes=short, overrides=(word,))) == []
    named = made_with(line_changes=short, overrides=(replace(word, option="B"),))
    assert standing(named) == ["A"]
    assert named.overridden == (replace(word, option="B"),)
    assert named.estimate.choices.overrides == (replace(word, option="B"),)


def test_an_override_of_an_option_there_is_not_is_refused():
    word = CheckOverride("rail_overhang", Place(roof="South"), "why", option="C")
    with pytest.raises(ChoiceRefused) as refused:
        made_with(overrides=(word,))
    assert [(fault.pointer, fault.allowed) for fault in refused.value.faults] == [("/overrides/0/option", "A, B")]


def test_an_option_that_cannot_be_built_is_refused_at_its_own_place():
    with pytest.raises(ChoiceRefused) as refused:
        offer(a_job(), a_book(), Choices(options=(OptionChoice(bracket="NO-SUCH"),)), DAY)
    assert {fault.pointer for fault in refused.value.faults} == {"/options/0"}
