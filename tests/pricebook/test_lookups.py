"""Look-ups in a book: clamps by frame, splices by rail, parts by role, rails by bracket."""

from dataclasses import replace

import pytest

from estimator.pricebook import clamps_for, part_for_role, rails_for, splice_for
from tests.fixture_book import a_book, a_part


def test_a_clamp_is_found_by_the_frame_its_range_takes():
    book = a_book()
    clamp = next(each for each in book.clamps if each.kind == "mid_clamp" and each.material == "aluminium")
    low, high = clamp.frame_mm
    for thickness_mm in (low, high, (low + high) / 2, high + 0.0005):
        assert clamps_for(book, "mid_clamp", thickness_mm, "rail_on_side", "aluminium") == (clamp,)
    assert clamps_for(book, "mid_clamp", high + 0.01, "rail_on_side", "aluminium") == ()
    assert clamps_for(book, "mid_clamp", low - 0.01, "rail_on_side", "aluminium") == ()


def test_a_clamp_without_a_material_serves_both():
    book = a_book()
    either = tuple(replace(each, material=None) for each in book.clamps if each.material == "aluminium")
    book = replace(book, clamps=either)
    assert clamps_for(book, "end_clamp", 35.0, "direct", "steel") == clamps_for(
        book, "end_clamp", 35.0, "direct", "aluminium"
    )
    assert len(clamps_for(book, "end_clamp", 35.0, "direct", "steel")) == 1


@pytest.mark.parametrize("kind", ["splice", "expansion_splice"])
def test_each_rail_has_its_own_splice(kind):
    book = a_book()
    for rail in book.rails:
        found = splice_for(book, rail, kind)
        assert found is not None
        assert (found.rail, found.kind) == (rail, kind)
    assert splice_for(book, "no such rail", kind) is None


def test_a_role_is_played_by_the_part_of_the_material_before_one_without():
    parts = {
        part.part: part
        for part in (
            a_part("CAP-A", "end_cap", "aluminium", 0.01, "0.40"),
            a_part("CAP", "end_cap", None, 0.01, "0.30"),
            a_part("N1", "nut", None, 0.01, "0.10"),
            a_part("C1", "cable_clip", None, 0.01, "0.10"),
            a_part("C2", "cable_clip", None, 0.01, "0.10"),
        )
    }
    book = a_book(parts=parts)
    assert part_for_role(book, "end_cap", "aluminium") == parts["CAP-A"]
    assert part_for_role(book, "end_cap", "steel") == parts["CAP"]
    assert part_for_role(book, "nut", "steel") == parts["N1"]
    assert part_for_role(book, "cable_clip", "steel") is None
    assert part_for_role(book, "moon", "steel") is None


def test_a_bracket_carries_the_rails_it_names_or_all_of_its_material():
    book = a_book()
    bracket = next(iter(book.brackets.values()))
    free = replace(bracket, rails=frozenset())
    own = {each.rail for each in book.rails.values() if each.material == bracket.material}
    assert {each.rail for each in rails_for(book, free, "rail_on_side")} == own
    assert rails_for(book, replace(bracket, rails=frozenset({"none"})), "rail_on_side") == ()
    assert rails_for(book, free, "direct") == ()
