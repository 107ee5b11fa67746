"""Every pricebook that ships loads without a fault and holds what a whole job needs."""

from collections import defaultdict
from datetime import date
from pathlib import Path

import pytest

from estimator.demo import books_folder
from estimator.sentences import LANGUAGES
from estimator.storage.books import book_in_force, find_editions, read_book

EDITIONS = find_editions([books_folder()])
IDS = [f"{each.id}/{each.edition}" for each in EDITIONS]


@pytest.fixture(params=EDITIONS, ids=IDS, scope="module")
def book(request):
    return read_book(request.param.folder)


def test_the_books_are_the_ones_at_the_top_of_the_project():
    assert books_folder() == Path(__file__).parents[2] / "pricebooks"
    assert {each.currency for each in EDITIONS} == {"USD", "EUR"}


@pytest.mark.parametrize("name", sorted({each.id for each in EDITIONS}))
def test_an_older_edition_gives_way_to_the_one_in_force(name):
    own = [each for each in EDITIONS if each.id == name]
    assert len(own) >= 2
    assert book_in_force(EDITIONS, name, date(2026, 11, 25)) == own[-1]


def test_every_book_says_that_it_is_invented(book):
    assert book.invented


def test_three_brackets_of_different_reach_in_each_material(book):
    for material in ("aluminium", "steel"):
        heights = {tuple(each.heights_mm.items()) for each in book.brackets.values() if each.material == material}
        assert len(heights) >= 3


def test_two_rails_in_each_material_with_two_stock_lengths_each(book):
    for material in ("aluminium", "steel"):
        rails = [each for each in book.rails.values() if each.material == material]
        assert len(rails) >= 2
        assert all(len({bar.length_mm for bar in rail.stocks}) >= 2 for rail in rails)


def test_bars_come_in_plain_round_lengths(book):
    """Whole metres, or whole feet."""
    unit = 1000.0 if book.currency == "EUR" else 304.8
    for rail in book.rails.values():
        assert all(abs(bar.length_mm / unit - round(bar.length_mm / unit)) < 1e-9 for bar in rail.stocks)


def test_every_joint_that_moves_says_how_wide_its_gap_has_to_be(book):
    """What the joint takes, and two end clamps beside it."""
    joints = [each for each in book.splices if each.kind == "expansion_splice"]
    assert {each.rail for each in joints} == set(book.rails)
    assert all(80.0 <= each.least_gap_mm <= 100.0 and each.least_gap_mm > each.gap_mm for each in joints)


def test_every_structural_part_comes_in_both_materials(book):
    materials = defaultdict(set)
    for part in book.parts.values():
        materials[part.role].add(part.material)
    for role in ("bracket", "rail", "splice", "expansion_splice", "mid_clamp", "end_clamp"):
        assert materials[role] == {"aluminium", "steel"}, role
    assert {each.material for each in book.clamps} == {"aluminium", "steel"}


def test_frames_from_28_to_50_mm_find_clamps_in_every_arrangement(book):
    for kind in ("mid_clamp", "end_clamp"):
        for material in ("aluminium", "steel"):
            for thickness_mm in range(28, 51):
                assert [
                    each
                    for each in book.clamps
                    if (each.kind, each.material) == (kind, material)
                    and each.frame_mm[0] <= thickness_mm + 0.001
                    and thickness_mm - 0.001 <= each.frame_mm[1]
                    and each.arrangements == {"rail_on_side", "rail_on_top", "direct"}
                ], (kind, material, thickness_mm)


def test_three_suppliers_quantity_breaks_and_packs(book):
    assert len({part.supplier for part in book.parts.values()}) >= 3
    assert any(part.breaks for part in book.parts.values())
    assert any(part.pack_size > 1 for part in book.parts.values())


def test_some_strength_comes_as_single_results_and_some_with_a_safety_factor(book):
    tests = [test for bracket in book.brackets.values() for test in bracket.tests]
    assert any(len(test.results_n) >= 4 for test in tests)
    assert any(test.safety_factor for test in tests)
    assert {test.direction for test in tests} >= {"uplift", "downward", "along_slope"}


def test_masses_follow_from_volumes_where_a_part_has_a_material(book):
    """The reader compares each with volume times density; here it is seen that no such part goes unchecked."""
    folder = next(each.folder for each in EDITIONS if (each.id, each.edition) == (book.id, book.edition))
    lines = (folder / "parts.csv").read_text(encoding="utf-8").splitlines()
    assert "volume" in lines[0]
    assert "volume" in (folder / "book.toml").read_text(encoding="utf-8")
    assert all(part.unit_mass_kg > 0 for part in book.parts.values())


def test_a_shipped_edition_is_written_for_other_people_to_edit(book):
    folder = next(each.folder for each in EDITIONS if (each.id, each.edition) == (book.id, book.edition))
    assert {path.suffix for path in folder.iterdir()} == {".toml", ".csv"}


def test_the_newest_european_book_says_everything_in_every_language_of_documents():
    newest = [each for each in EDITIONS if each.id == "hanse-eu"][-1]
    texts = read_book(newest.folder).texts
    assert set(texts) == set(LANGUAGES) - {"en"}
    assert len({frozenset(own) for own in texts.values()}) == 1
