from dataclasses import replace

import pytest

from estimator.errors import ChoiceRefused
from estimator.job import Choices, Mounting
from estimator.mounting import mounting_choices
from estimator.places import Place
from estimator.pricebook import Defaults
from tests.builders import a_book, a_bracket, a_job, a_module, a_part, a_rail, a_roof, some_ribs


def choose(book=None, choices=None, roofs=(), module=None, **mounting):
    job = a_job(*roofs, module=module, mounting=Mounting(**mounting))
    return mounting_choices(job, book or a_book(), choices or Choices())


def named(choices):
    return [(each.arrangement, each.bracket.part, each.rail.rail if each.rail else None) for each in choices]


def refused(**changes):
    with pytest.raises(ChoiceRefused) as refusal:
        choose(**changes)
    return [(fault.pointer, fault.message) for fault in refusal.value.faults]


def more_brackets(*brackets):
    book = a_book()
    parts = {each.part: a_part(each.part, "bracket", each.material, 0.4, "4.00") for each in brackets}
    return replace(
        book, parts={**book.parts, **parts}, brackets={**book.brackets, **{each.part: each for each in brackets}}
    )


def test_what_is_left_open_is_tried_in_every_combination():
    choices, findings, unfit = choose()
    assert named(choices) == [
        ("rail_on_side", "B-AL", "R-AL"),
        ("rail_on_side", "B-ST", "R-ST"),
        ("rail_on_top", "B-AL", "R-AL"),
        ("rail_on_top", "B-ST", "R-ST"),
        ("direct", "B-AL", None),
        ("direct", "B-ST", None),
    ]
    assert findings == () and unfit == ()


def test_what_is_given_is_the_only_one_tried():
    assert named(choose(arrangement="direct", material="steel")[0]) == [("direct", "B-ST", None)]
    assert {each.material for each in choose(bracket="B-ST")[0]} == {"steel"}
    assert {each.rail.rail for each in choose(rail="R-ST")[0] if each.rail} == {"R-ST"}


def test_choices_of_the_quote_win_over_those_of_the_job():
    choices, _, _ = choose(choices=Choices(arrangement="direct", material="steel"), arrangement="rail_on_side")
    assert named(choices) == [("direct", "B-ST", None)]


def test_a_bracket_of_the_other_material_is_set_aside_where_the_quote_asks_for_that_material():
    choices, findings, _ = choose(
        choices=Choices(material="steel"), arrangement="rail_on_side", bracket="B-AL", rail="R-AL"
    )
    assert named(choices) == [("rail_on_side", "B-ST", "R-ST")]
    assert [finding.code for finding in findings] == ["bracket_set_aside", "rail_set_aside"]


def test_defaults_of_the_book_serve_where_the_job_is_silent():
    book = replace(a_book(), defaults=Defaults(clamping_position=0.25, rail_overhang_mm=80.0))
    choice = choose(book)[0][0]
    assert (choice.clamping_position, choice.rail_overhang_mm, choice.rail_direction) == (0.25, 80.0, "across_ribs")
    given = choose(book, clamping_position=0.2, rail_overhang_mm=0.0, rail_direction="along_ribs")[0][0]
    assert (given.clamping_position, given.rail_overhang_mm, given.rail_direction) == (0.2, 0.0, "along_ribs")


def test_a_bracket_that_does_not_fit_a_roof_falls_away_with_what_does_not_fit():
    small = a_bracket("AL", part="B-2", crown_width_mm=(20.0, 40.0))
    choices, _, unfit = choose(more_brackets(small), arrangement="direct", material="aluminium")
    assert named(choices) == [("direct", "B-AL", None)]
    assert [(each.option, each.pointer) for each in unfit] == [("B-2", "/roofs/0/ribs/crown_width")]


def test_a_bracket_has_to_fit_every_roof():
    roofs = (a_roof(), a_roof(name="North", ribs=some_ribs(crown_width_mm=90.0)))
    assert refused(roofs=roofs, arrangement="direct", material="steel") == [
        ("/roofs/1/ribs/crown_width", "North: crown 90 mm, bracket B-ST takes 20 mm to 76.2 mm")
    ]


def test_a_bracket_given_that_does_not_fit_is_kept_with_an_error():
    roof = a_roof(ribs=some_ribs(crown_width_mm=90.0, height_mm=70.0))
    choices, findings, _ = choose(roofs=(roof,), bracket="B-AL", arrangement="rail_on_side")
    assert named(choices) == [("rail_on_side", "B-AL", "R-AL")]
    assert [(finding.code, finding.severity) for finding in findings] == [("bracket_does_not_fit", "error")] * 2
    aspects = ("crown_width", "rib_height")
    expected = {Place(roof="South", role="bracket", part="B-AL", aspect=aspect) for aspect in aspects}
    assert {finding.place for finding in findings} == expected


def test_a_bracket_is_tried_only_in_the_arrangements_it_serves():
    flat = a_bracket("AL", part="B-2", heights_mm={"direct": 70.0})
    choices, _, _ = choose(more_brackets(flat), bracket="B-2")
    assert named(choices) == [("direct", "B-2", None)]
    found = refused(book=more_brackets(flat), bracket="B-2", arrangement="rail_on_side")
    assert found == [("/mounting/bracket", "bracket B-2 is not made for rail_on_side")]


def test_a_bracket_that_names_its_rails_takes_no_other():
    picky = a_bracket("AL", part="B-2", rails=frozenset({"R-X"}))
    choices, _, unfit = choose(more_brackets(picky), arrangement="rail_on_side", material="aluminium")
    assert named(choices) == [("rail_on_side", "B-AL", "R-AL")]
    assert [each.why for each in unfit] == ["bracket B-2 does not take rail R-AL"]
    _, findings, _ = choose(more_brackets(picky), arrangement="rail_on_side", bracket="B-2", rail="R-AL")
    assert [finding.code for finding in findings] == ["bracket_does_not_take_rail"]


def test_a_rail_serves_only_the_arrangements_it_is_made_for():
    book = a_book()
    rails = {"R-AL": a_rail(arrangements=frozenset({"rail_on_top"})), "R-ST": book.rails["R-ST"]}
    choices, _, _ = choose(replace(book, rails=rails), material="aluminium")
    assert [each.arrangement for each in choices] == ["rail_on_top", "direct"]


def test_parts_that_the_book_does_not_hold_are_all_refused_at_once():
    found = refused(bracket="B-9", rail="R-9", stock_lengths_mm=(4200.0, 5000.0))
    assert [pointer for pointer, _ in found] == ["/mounting/bracket", "/mounting/rail", "/mounting/stock_lengths/1"]


def test_choices_of_a_job_that_contradict_each_other_are_refused():
    found = refused(bracket="B-AL", material="steel", rail="R-AL", arrangement="rail_on_side")
    assert [pointer for pointer, _ in found] == ["/mounting/bracket", "/mounting/rail"]


def test_bar_lengths_asked_for_are_the_only_ones_offered():
    # 13 ft 9.35 in is 4200 mm to within the tolerance of 0.05 mm
    choice = choose(arrangement="rail_on_side", stock_lengths_mm=(4200.04,))[0][0]
    assert [stock.length_mm for stock in choice.stocks] == [4200.0]
    assert refused(arrangement="rail_on_side", stock_lengths_mm=(4200.1,))[0][0] == "/mounting/stock_lengths/0"


def test_the_cheapest_clamp_that_takes_the_frame_is_taken():
    book = a_book()
    other = replace(book.clamps[0], part="MC-2", frame_mm=(33.0, 36.0))
    parts = {**book.parts, "MC-2": a_part("MC-2", "mid_clamp", "aluminium", 0.06, "0.50")}
    choices, _, _ = choose(replace(book, clamps=(*book.clamps, other), parts=parts), material="aluminium")
    assert {each.mid_clamp.part for each in choices} == {"MC-2"}


def test_a_frame_that_no_clamp_takes_is_refused_with_what_they_take():
    found = refused(module=a_module(thickness_mm=50.0), arrangement="direct", material="steel")
    assert [pointer for pointer, _ in found] == ["/module/thickness"] * 2
    assert "no mid clamp of steel for direct takes a frame of 50 mm (MC-ST takes 30 mm to 46 mm)" in found[0][1]


def test_numbers_with_which_nothing_can_be_set_out_are_refused():
    found = refused(rails_per_row=4, clamping_position=0.5, max_span_mm=1.0)
    assert [pointer for pointer, _ in found] == [
        "/mounting/rails_per_row",
        "/mounting/clamping_position",
        "/mounting/max_span",
    ]
