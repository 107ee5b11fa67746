"""What a book must hold, asked of the records; through its files it is asked in tests/storage."""

from dataclasses import replace
from fractions import Fraction

from estimator.contract.fault_codes import code_of
from estimator.pricebook.checks import faults_of
from tests.facts import facts
from tests.fixture_book import a_book, a_part, a_rule


def _codes(book):
    return [code_of(fault) for fault in faults_of(book)]


def _missing(book):
    return [facts(fault.message) for fault in faults_of(book) if code_of(fault) == "missing"]


SECOND_FOOT = {("column count", "contradiction")}
"""Where a second foot for an attachment is told, and as what."""


def _counts(book):
    return {(fault.pointer.rpartition(", ")[2], code_of(fault)) for fault in faults_of(book)}


def test_the_book_of_the_tests_is_consistent():
    assert faults_of(a_book()) == ()


def test_a_bracket_without_a_foot_takes_one_and_no_more():
    book = a_book()
    bare = {name: replace(each, feet=0) for name, each in book.brackets.items()}
    parts = dict(book.parts) | {"FOOT": a_part("FOOT", "foot", None, 0.3, "2.00")}
    foot = a_rule("foot", "role:foot", "1", "attachments")
    assert _codes(replace(book, brackets=bare, parts=parts, rules=(*book.rules, foot))) == []
    twice = replace(foot, count=Fraction(2))
    assert _counts(replace(book, brackets=bare, parts=parts, rules=(*book.rules, twice))) == SECOND_FOOT


def test_a_foot_by_another_count_is_a_second_foot_all_the_same():
    book = a_book()
    parts = dict(book.parts) | {"FOOT": a_part("FOOT", "foot", None, 0.3, "2.00")}
    rule = a_rule("foot", "role:foot", "1", "modules")
    assert _counts(replace(book, parts=parts, rules=(*book.rules, rule))) == SECOND_FOOT


def test_another_bracket_named_by_a_rule_is_a_second_foot():
    book = a_book()
    other = next(iter(book.brackets))
    rule = replace(a_rule("again", "role:bracket", "1", "attachments"), part=other, role="")
    assert _counts(replace(book, rules=(*book.rules, rule))) == SECOND_FOOT


def test_what_may_be_the_row_at_fault_is_not_called_missing():
    book = replace(a_book(), rules=())
    assert ["bracket", "attachments"] in [held[:2] for held in _missing(book)]
    assert faults_of(book, frozenset({"assembly_rules.csv"})) == ()


def test_a_bracket_and_its_part_are_of_one_material():
    book = a_book()
    name, bracket = next(iter(book.brackets.items()))
    other = "steel" if bracket.material == "aluminium" else "aluminium"
    part = replace(book.parts[name], material=other)
    found = faults_of(replace(book, parts=dict(book.parts) | {name: part}))
    assert any("column material" in fault.pointer for fault in found)


def test_a_rail_without_bars_to_splice_and_a_bracket_without_rails_are_told():
    book = a_book()
    assert ["'R-AL'", "splice"] in _missing(replace(book, splices=()))
    assert ["aluminium", "rail_on_side", "'B-AL'"] in _missing(replace(book, rails={}))
    assert ["mid_clamp", "aluminium", "direct"] in _missing(replace(book, clamps=()))
