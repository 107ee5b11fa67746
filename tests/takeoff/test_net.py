from dataclasses import replace
from fractions import Fraction

import pytest

from estimator.attachment import set_out
from estimator.buying import buy
from estimator.errors import PricebookRefused
from estimator.layout import lay_out
from estimator.takeoff import count, net_lines, sums_differ
from tests.builders import a_book, a_choice, a_cut_plan, a_job, a_part, a_roof, a_rule, a_sheet, an_array, some_limits
from tests.facts import refusing


def lines(job, book=None, plan=None, **choice):
    book, mounting = book or a_book(), a_choice(**choice)
    layout = lay_out(job)
    setting_out = set_out(job, layout, mounting, some_limits())
    counts = count(job, layout, setting_out, plan)
    net = net_lines(job, book, mounting, counts, plan)
    assert sums_differ(layout, setting_out, counts, plan, net) == ()
    return counts.counts, {line.part: line for line in net}


def with_rules(*rules):
    book = a_book()
    return replace(book, rules=book.rules + rules)


def test_an_attachment_takes_a_bracket_and_four_screws():
    counts, net = lines(a_job())
    assert net["B-AL"].net == counts.attachments and net["SC-AL"].net == 4 * counts.attachments
    assert net["SC-AL"].role == "screw"


def test_without_rail_an_attachment_takes_one_more_nut():
    counts, net = lines(a_job())
    assert net["N-1"].net == counts.attachments and len(net["N-1"].shares) == 1
    counts, net = lines(a_job(), arrangement="direct")
    assert net["N-1"].net == 2 * counts.attachments
    assert [share.rule for share in net["N-1"].shares] == ["bracket nut", "extra nut without rail"]


def test_a_line_says_which_rule_asks_what_of_which_array():
    job = a_job(a_roof(arrays=(an_array(), an_array(name="B", x_mm=5000.0, columns=2))))
    (share,) = lines(job)[1]["CC-1"].shares
    assert (share.count, share.for_each, share.basis, share.asked) == (2, "modules", 10, 20)
    assert share.places == (("South / A", 12), ("South / B", 8))


def test_one_for_ten_is_rounded_up_once_for_the_whole_job():
    arrays = [an_array(name=name, x_mm=x, rows=1) for name, x in (("A", 0.0), ("B", 4000.0), ("C", 8000.0))]
    _, net = lines(a_job(a_roof(arrays=tuple(arrays))))
    # 9 modules, 0.9 labels, so 1; not one for each of the three arrays
    assert net["L-1"].net == 1 and net["L-1"].shares[0].asked == Fraction(9, 10)


def test_two_rules_for_one_part_are_summed_before_rounding_up():
    book = with_rules(a_rule("more labels", "part:L-1", "1/4", "arrays"))
    _, net = lines(a_job(), book)
    # 6 / 10 + 1 / 4 = 0.85
    assert net["L-1"].net == 1 and len(net["L-1"].shares) == 2


def test_a_rule_for_one_sheet_counts_the_roofs_with_that_sheet_only():
    book = with_rules(a_rule("pads", "part:E-1", "1", "attachments", sheet_materials=frozenset({"aluminium"})))
    north = a_roof(name="North", sheet=a_sheet(material="aluminium"))
    _, net = lines(a_job(a_roof(), north), book)
    lugs, pads = net["E-1"].shares
    assert lugs.basis == 2 and {place for place, _ in pads.places} == {"North / A"}
    assert pads.basis == lines(a_job())[0].attachments


def test_bars_come_from_the_cut_plan():
    plan = a_cut_plan(*[(4200, ((run, 3140),)) for run in range(3)], (6000, ((3, 3140),)))
    _, net = lines(a_job(), plan=plan)
    assert (net["R-AL-4200"].net, net["R-AL-6000"].net, net["R-AL-4200"].role) == (3, 1, "rail")


def test_a_rule_can_count_bars_cuts_and_the_job():
    book = with_rules(
        a_rule("tags", "part:J-1", "1", "bars"),
        a_rule("caps", "part:E-1", "2", "cuts"),
        a_rule("box", "part:XB", "1", "job"),
        a_rule("per kilowatt", "part:L-1", "1", "power", 1000),
        a_rule("tape", "part:CC-1", "1", "run_length", 1000),
    )
    book = replace(book, parts={**book.parts, "XB": a_part("XB", "box", None, 1.0, "9.00")})
    plan = a_cut_plan(*[(4200, ((run, 3140),)) for run in range(4)])
    _, net = lines(a_job(), book, plan)
    assert net["J-1"].net == 4 and net["XB"].net == 1
    assert net["E-1"].net == 1 + 2 * 4
    assert net["L-1"].net == 3  # 6 / 10 + 2400 / 1000
    assert net["CC-1"].net == 25  # 12 + 12.56


def test_a_role_is_played_by_the_part_of_the_mountings_material():
    assert "SC-ST" in lines(a_job(), code="ST")[1]


def test_a_role_that_two_parts_play_is_refused_with_the_rule():
    book = a_book()
    book = replace(book, parts={**book.parts, "SC-X": a_part("SC-X", "screw", "aluminium", 0.01, "0.10")})
    fault = ("assembly_rules.csv, row 3, column role", "contradiction")
    with refusing(PricebookRefused, fault, holds=("SC-AL, SC-X",)):
        lines(a_job(), book)


@pytest.mark.parametrize("what", ["role:gasket", "part:G-9"])
def test_a_rule_whose_part_the_book_lacks_is_refused(what):
    column, _, name = what.partition(":")
    with refusing(PricebookRefused, (f"assembly_rules.csv, row 0, column {column}", "unknown_name"), holds=(name,)):
        lines(a_job(), with_rules(a_rule("gaskets", what, "1", "attachments")))


def test_rules_that_count_no_bracket_are_refused():
    book = a_book()
    book = replace(book, rules=tuple(rule for rule in book.rules if rule.role != "bracket"))
    with refusing(PricebookRefused, ("assembly_rules.csv", "missing"), holds=("bracket",)):
        lines(a_job(), book)


def test_a_part_nothing_asks_for_has_no_line():
    assert "SP-AL" not in lines(a_job())[1]


def test_a_rule_that_counts_a_bars_own_part_and_the_cut_plan_ask_for_one_line():
    """Two bars by the plan and one spare bar for each job by a rule: three, bought as one line (common practice)."""
    book = with_rules(a_rule("a bar for trials", "part:R-AL-6000", "1", "job"))
    job = a_job()
    layout = lay_out(job)
    setting_out = set_out(job, layout, a_choice(), some_limits())
    plan = a_cut_plan((6_000, ((0, 3_000),)), (6_000, ((1, 3_000),)))
    net = net_lines(job, book, a_choice(), count(job, layout, setting_out, plan), plan)
    (line,) = (each for each in net if each.part == "R-AL-6000")
    assert (line.net, line.role, [share.for_each for share in line.shares]) == (3, "rail", ["bars", "job"])
    (bought,) = (each for each in buy(net, book) if each.part == "R-AL-6000")
    assert bought.net == 3
