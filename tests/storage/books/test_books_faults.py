"""Every fault of a book is told at once, each with file, row and column and what is allowed."""

import re
from dataclasses import replace

import pytest

from estimator.storage.books import files_of_folder, read_book_files
from tests.storage.books.book_files import (
    EU,
    faults_in,
    records_of,
    row_of,
    us_files,
    with_cell,
    with_head,
    with_row,
    without_row,
    written,
)

CELLS = [  # table, row, column, what the cell holds, words of the message
    ("brackets.csv", 4, "max_span", "48,5", "comma"),
    ("brackets.csv", 4, "max_span", "-48", "negative"),
    ("brackets.csv", 4, "max_span", "nan", "not a number"),
    ("brackets.csv", 4, "max_span", "inf", "not a number"),
    ("brackets.csv", 4, "max_span", "0", "nothing"),
    ("brackets.csv", 4, "max_span", "", "empty"),
    ("brackets.csv", 4, "max_span", "48 lbf", "is not allowed here"),
    ("brackets.csv", 4, "max_span", "1e30", "too large"),
    ("brackets.csv", 2, "crown_width_max", "0.5", "below '0.8'"),
    ("brackets.csv", 2, "material", "brass", "'brass'"),
    ("brackets.csv", 2, "sheet_materials", "steel;tin", "'tin'"),
    ("brackets.csv", 2, "rails", "TG-RA15;TG-RA99", "TG-RA99"),
    ("brackets.csv", 2, "sheet_thickness_min", "99 ga", "gauge 99"),
    ("brackets.csv", 2, "part", "TG-A27", "row 3 already|already"),
    ("strength_tests.csv", 2, "bracket", "TG-Z1", "TG-Z1"),
    ("strength_tests.csv", 2, "direction", "sideways", "sideways"),
    ("strength_tests.csv", 2, "safety_factor", "", "no allowable load"),
    ("strength_tests.csv", 2, "safety_factor", "0.9", "below 1"),
    ("strength_tests.csv", 2, "results", "900;1000", "too few|mean"),
    ("strength_tests.csv", 2, "results", "900;1000;1300", "mean"),
    ("strength_tests.csv", 2, "resistance_factor", "1.2", "above 1"),
    ("strength_tests.csv", 2, "arrangement", "hanging", "hanging"),
    ("strength_tests.csv", 2, "arrangement", "direct", "no rails"),
    ("strength_tests.csv", 2, "rail_direction", "sideways", "sideways"),
    ("strength_tests.csv", 2, "height", "-1.9", "negative"),
    ("strength_tests.csv", 2, "characteristic", "5000", "above the mean"),
    ("splices.csv", 2, "shear", "", "moment alone"),
    ("splices.csv", 3, "moment", "7000", "joint that moves"),
    ("splices.csv", 2, "safety_factor", "0.5", "below 1"),
    ("splices.csv", 2, "moment", "7000 lbf", "is not allowed here"),
    ("splices.csv", 2, "moment_characteristic", "9000", "above the mean"),
    ("splices.csv", 3, "least_gap", "wide", "wide"),
    ("clamps.csv", 2, "results", "900;1000", "too few"),
    ("rails.csv", 2, "weak_inertia", "", "only one value"),
    ("screw_joints.csv", 2, "rule", "guess", "guess"),
    ("texts.csv", 2, "text", "Prices hold for ever.", "no text of this book"),
    ("texts.csv", 2, "language", "Spanish", "no language"),
    ("texts.csv", 2, "translation", "", "empty"),
    ("parts.csv", 2, "cost", "6.12 EUR", "EUR"),
    ("parts.csv", 2, "cost", "-6.12", "negative"),
    ("parts.csv", 2, "cost", "6,12", "comma"),
    ("parts.csv", 2, "cost", "NaN", "not a number"),
    ("parts.csv", 2, "supplier", "nobody", "nobody"),
    ("parts.csv", 2, "pack_size", "0", "whole number"),
    ("parts.csv", 2, "pack_size", "2.5", "whole number"),
    ("parts.csv", 2, "unit", "pieces", "pieces"),
    ("parts.csv", 2, "role", "Bracket!", "Bracket!"),
    ("parts.csv", 2, "unit_mass", "0.25", "volume times density"),
    ("parts.csv", 2, "country_of_origin", "Kansas", "Kansas"),
    ("parts.csv", 2, "spare_loss_rate", "0.02", "goes with"),
    ("parts.csv", 2, "description", "a\x07b", "control character"),
    ("parts.csv", 2, "description", "a\nb", "control character"),
    ("parts.csv", 2, "description", "a" * 501, "501 characters"),
    ("price_breaks.csv", 2, "part", "TG-Z1", "TG-Z1"),
    ("price_breaks.csv", 3, "from_quantity", "150", "does not rise"),
    ("price_breaks.csv", 3, "cost", "6.00", "rises with the quantity"),
    ("price_breaks.csv", 2, "cost", "6.20", "rises with the quantity"),
    ("rails.csv", 2, "arrangements", "direct", "direct"),
    ("rails.csv", 2, "mass_per_length", "0.6", "volume times density"),
    ("rails.csv", 2, "section_modulus", "0.21", "half the height"),
    ("rails.csv", 2, "yield_strength", "40", "above the ultimate"),
    ("rails.csv", 2, "allowable_stress", "36", "above the yield"),
    ("rails.csv", 2, "design_strength", "39", "above the ultimate"),
    ("rail_stock.csv", 2, "length", "170", "another mass"),
    ("rail_stock.csv", 2, "rail", "TG-RA99", "TG-RA99"),
    ("rail_stock.csv", 2, "available", "-3", "whole number"),
    ("clamps.csv", 2, "part", "TG-Z1", "TG-Z1"),
    ("clamps.csv", 2, "kind", "hook", "hook"),
    ("clamps.csv", 3, "frame_min", "34 mm", "same frames"),
    ("clamps.csv", 2, "bonding", "maybe", "maybe"),
    ("splices.csv", 2, "rail", "TG-RA99", "TG-RA99"),
    ("splices.csv", 2, "minutes", "4 min", "not a number"),
    ("assembly_rules.csv", 3, "count", "none", "no count"),
    ("assembly_rules.csv", 3, "count", "0", "no count"),
    ("assembly_rules.csv", 3, "for_each", "moons", "moons"),
    ("assembly_rules.csv", 3, "role", "moon", "moon"),
    ("assembly_rules.csv", 3, "role", "rail", "cut plan"),
    ("assembly_rules.csv", 3, "part", "TG-SCR12", "one part or one role"),
    ("assembly_rules.csv", 3, "bracket", "TG-Z1", "TG-Z1"),
    ("assembly_rules.csv", 3, "arrangement", "hanging", "hanging"),
    ("suppliers.csv", 2, "minimum_order", "250.00 EUR", "EUR"),
    ("freight.csv", 2, "from_mass", "10 kg", "begins at"),
    ("freight.csv", 4, "from_mass", "400 kg", "does not rise"),
    ("labour.csv", 2, "minutes", "", "empty"),
]  # fmt: skip


@pytest.mark.parametrize(("table", "row", "column", "value", "words"), CELLS)
def test_a_cell_at_fault_is_told_with_its_place(table, row, column, value, words):
    found = faults_in(with_cell(table, row, column, value))
    assert found, "the book was read"
    at = [fault for fault in found if fault[0].startswith(f"{table}, row {row}")]
    told = at or [fault for fault in found if fault[0].startswith(table)]
    assert any(word in fault[1] for fault in told for word in words.split("|")), found


def test_the_pointer_names_file_row_and_column_and_says_what_is_allowed():
    assert faults_in(with_cell("brackets.csv", 4, "max_span", "48 lbf")) == [
        (
            "brackets.csv, row 4, column max_span",
            "unit 'lbf' is not allowed here",
            "a number (mm) or a number and one of mm, cm, m, in, ft",
        )
    ]


def test_every_fault_is_told_at_once():
    files = with_cell("brackets.csv", 4, "max_span", "48,5")
    files = with_cell("parts.csv", 3, "cost", "free", files)
    files = with_cell("freight.csv", 3, "base", "x", files)
    files["book.toml"] = files["book.toml"].replace(b'"USD"', b'"XQZ"').replace(b"rate = 0.31", b"rate = 1.31")
    places = {fault[0] for fault in faults_in(files)}
    assert places == {
        "brackets.csv, row 4, column max_span",
        "parts.csv, row 3, column cost",
        "freight.csv, row 3, column base",
        "book.toml, currency",
        "book.toml, price.rate",
    }


HEADS = [
    ('"USD"', '"DOLLAR"', "book.toml, currency"),
    ("valid_until = 2099-12-31", "valid_until = 2026-08-31", "book.toml, valid_until"),
    ("valid_until = 2099-12-31", 'valid_until = "soon"', "book.toml, valid_until"),
    ("rate = 0.0825", "rate = nan", "book.toml, tax.rate"),
    ("rate = 0.0825", "rate = 1e999999999", "book.toml, tax.rate"),
    ("rate = 0.0825", "rate = -0.1", "book.toml, tax.rate"),
    ("rate = 78.00", 'rate = "78,00"', "book.toml, labour.rate"),
    ("trade = 0.05", "trade = 5", "book.toml, tiers.trade"),
    ('on = ["parts"]', 'on = ["parts", "air"]', "book.toml, tax.on"),
    ('rounding = "half_up"', 'rounding = "up"', "book.toml, price.rounding"),
    ("places = 4", "places = 40", "book.toml, price.places"),
    ("places = 4", "places = 4\nplace = 5", "book.toml, price.place"),
    ('air_gap_max = "5 in"', 'air_gap_max = "2 in"', "book.toml, defaults.air_gap_max"),
    ('freight_zone = "regional"', 'freight_zone = "moon"', "book.toml, defaults.freight_zone"),
    ("validity_days = 30", "validity_days = 0", "book.toml, defaults.validity_days"),
    ("confidence = 0.95", "confidence = 1", "book.toml, spares.cable_clip.confidence"),
    ("screw = { rate = 0.03 }", "screws = { rate = 0.03 }", "book.toml, spares.screws"),
    ('length = "in"', 'length = "span"', "book.toml, units.length"),
    ('id = "prairie-us"', 'id = "../x"', "book.toml, id"),
    ("[price]", "[price", "book.toml"),
    ('country = "US"', 'country = "Kansas"', "book.toml, seller.country"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "pointer"), HEADS)
def test_a_head_at_fault_is_told_with_its_key(old, new, pointer):
    assert pointer in {fault[0] for fault in faults_in(with_head(old, new))}


def test_an_unknown_and_a_missing_column_are_told():
    files = us_files()
    records = records_of(files, "brackets.csv")
    records[0][records[0].index("max_span")] = "maximum_span"
    files["brackets.csv"] = written(records)
    assert {fault[0] for fault in faults_in(files)} == {
        "brackets.csv, row 1, column maximum_span",
        "brackets.csv, row 1, column max_span",
    }


def test_a_missing_table_and_an_unknown_one_are_told():
    files = us_files()
    files["part.csv"] = files.pop("parts.csv")
    assert {fault[0] for fault in faults_in(files)} == {"part.csv", "parts.csv"}


def test_more_cells_than_columns_are_told_not_dropped():
    files = us_files()
    files["suppliers.csv"] = files["suppliers.csv"].replace(b'"Salina, KS"', b"Salina, KS")
    found = faults_in(files)
    assert any(place == "suppliers.csv, row 2" and "cells under" in message for place, message, _ in found)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "empty"),
        ("supplier,name\nä,b".encode("latin-1"), "UTF-8"),
        (b'supplier,name\n"a,b', "CSV"),
        (b"supplier,name\n" + b"a,b\n" * 20_001, "20,001 rows"),
        (b"supplier,supplier,name\na,b,c", "twice"),
        (b"supplier,name\na\x00,b", "control"),
    ],
    ids=["empty", "another encoding", "an open quotation", "too many rows", "a column twice", "a null sign"],
)
def test_a_file_that_is_no_table_is_told(content, words):
    found = faults_in(us_files() | {"suppliers.csv": content})
    assert any(place.startswith("suppliers.csv") and words in message for place, message, _ in found), found


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        ("bracket", "no rule counts brackets, one or more for each of attachments"),
        ("screws", "no rule counts screws, one or more for each of attachments"),
        ("mid-clamp", "no rule counts mid clamps"),
        ("end-clamp", "no rule counts end clamps"),
        ("splice", "no rule counts splices"),
        ("expansion-splice", "no rule counts expansion splices"),
    ],
)
def test_a_structural_part_that_no_rule_counts_is_told(rule, words):
    found = faults_in(without_row("assembly_rules.csv", row_of("assembly_rules.csv", "rule", rule)))
    assert any(words in message for _, message, _ in found), found


def test_half_a_bracket_for_an_attachment_is_told():
    row = row_of("assembly_rules.csv", "rule", "bracket")
    found = faults_in(with_cell("assembly_rules.csv", row, "count", "1/2"))
    assert any("no rule counts brackets" in message for _, message, _ in found)


def test_a_structural_rule_that_holds_for_one_arrangement_only_leaves_the_others_uncounted():
    row = row_of("assembly_rules.csv", "rule", "screws")
    found = faults_in(with_cell("assembly_rules.csv", row, "arrangement", "rail_on_side"))
    assert any("screw" in message and "rail_on_top" in message for _, message, _ in found)


def test_a_second_bracket_for_an_attachment_is_refused():
    row = row_of("assembly_rules.csv", "rule", "bracket")
    found = faults_in(with_cell("assembly_rules.csv", row, "count", "2"))
    assert found
    assert all(place == f"assembly_rules.csv, row {row}, column count" and "second foot" in m for place, m, _ in found)


def test_a_foot_stacked_on_a_bracket_that_comes_with_one_is_refused():
    """Never: a longer moment arm and an unpredictable load path (common practice, no source)."""
    files = with_row(
        "parts.csv", part="TG-FOOT", role="foot", description="Foot", unit_mass="0.3", cost="2.10",
        supplier="oddmarsh", supplier_part="OX-F",
    )  # fmt: skip
    assert faults_in(files) == []
    rules = records_of(files, "assembly_rules.csv")
    cells = {"rule": "foot", "role": "foot", "count": "1", "for_each": "attachments", "arrangement": "rail_on_top"}
    rules.append([cells.get(name, "") for name in rules[0]])
    found = faults_in(files | {"assembly_rules.csv": written(rules)})
    assert {place for place, _, _ in found} == {f"assembly_rules.csv, row {len(rules)}, column count"}
    assert all("second foot" in message and "rail_on_top" in message for _, message, _ in found)


def test_a_role_that_two_parts_could_play_is_told():
    files = with_row(
        "parts.csv", part="TG-NUT2", role="nut", description="Another nut", unit_mass="0.02", cost="0.20",
        supplier="quillbarb", supplier_part="QB-N2",
    )  # fmt: skip
    found = faults_in(files)
    assert any("several parts play 'nut'" in message and "TG-NUT2" in message for _, message, _ in found)


def test_a_role_that_no_part_of_the_material_plays_is_told():
    row = row_of("parts.csv", "part", "TG-CAPS")
    found = faults_in(with_cell("parts.csv", row, "role", "plug"))
    assert any("no part plays 'end_cap' in steel" in message for _, message, _ in found)


def test_a_bracket_row_whose_part_is_no_bracket_is_told():
    row = row_of("parts.csv", "part", "TG-A27")
    found = faults_in(with_cell("parts.csv", row, "role", "nut"))
    assert any(place.startswith("brackets.csv, row 3") for place, _, _ in found)


def test_a_rail_without_a_splice_or_without_bars_is_told():
    assert any("has no splice" in m for _, m, _ in faults_in(without_row("splices.csv", 2)))
    files = us_files()
    records = [each for each in records_of(files, "rail_stock.csv") if each[0] != "TG-RS15"]
    found = faults_in(files | {"rail_stock.csv": written(records)})
    assert any("comes in no bars" in message for _, message, _ in found)


MISSPELT = [  # table, column, the word, as it is misspelt, the fault's place
    ("parts.csv", "role", "bracket", "braket", "parts.csv, row {row}, column role"),
    ("parts.csv", "role", "screw", "scrw", "parts.csv, row {row}, column role"),
    ("parts.csv", "role", "cable_clip", "cable_clipp", "parts.csv, row {row}, column role"),
    ("parts.csv", "part", "TG-A20", "TG-A2O", "parts.csv, row {row}, column part"),
    ("rails.csv", "rail", "TG-RA15", "TG-RA1S", "rails.csv, row {row}, column rail"),
    ("assembly_rules.csv", "role", "screw", "skrew", "assembly_rules.csv, row {row}, column role"),
    ("rail_stock.csv", "rail", "TG-RA15", "TG-RA1S", "rail_stock.csv, row {row}, column rail"),
    ("suppliers.csv", "supplier", "oddmarsh", "odmarsh", "suppliers.csv, row {row}, column supplier"),
]


@pytest.mark.parametrize(("table", "column", "word", "misspelt", "place"), MISSPELT)
def test_a_misspelt_word_is_blamed_on_its_own_row_with_the_nearest_known_one(table, column, word, misspelt, place):
    """The rows that spell it rightly are not blamed (but translations, where the text is no longer in the book)."""
    row = row_of(table, column, word)
    files = {name: each for name, each in with_cell(table, row, column, misspelt).items() if name != "texts.csv"}
    faults = faults_in(files)
    assert place.format(row=row) in {pointer for pointer, _, _ in faults}
    assert {pointer.rpartition(", ")[0] for pointer, _, _ in faults} == {f"{table}, row {row}"}
    assert any(repr(misspelt) in message and word in message + allowed for _, message, allowed in faults)


def german(table, *changes):
    """The EU book of a German house: one table with the changes made to its text."""
    files = files_of_folder(EU)
    text = files[table].decode()
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return {**files, table: text.encode()}


def with_commas(text):
    """Every decimal point between figures as a comma."""
    return re.sub(r"(?<=[;\d])(\d*)\.(\d+)(?=;|\n)", r"\1,\2", text)


def test_tables_with_decimal_commas_make_the_same_book_as_with_points():
    """From the tables with points: every number is the same, only its sign is another."""
    files = files_of_folder(EU)
    commas = {
        name: with_commas(content.decode()).encode() if name.endswith(".csv") else content
        for name, content in files.items()
    }
    assert b"5,35" in commas["parts.csv"]
    one, other = read_book_files(commas), read_book_files(files)
    assert replace(one, sha256="") == replace(other, sha256="")
    assert one.locale.code == "de-DE"


@pytest.mark.parametrize(
    ("table", "changes", "word"),
    [
        ("freight.csv", [("28.00", "28,00"), ("48.00", "1.234")], "thousands or decimals"),
        ("freight.csv", [("28.00", "28,00")], "decimal point in a table that writes decimals with a comma"),
    ],
)
def test_what_can_be_read_both_ways_is_a_fault_with_its_cell(table, changes, word):
    found = faults_in(german(table, *changes))
    assert any(word in message and pointer.startswith("freight.csv, row") for pointer, message, _ in found), found


def test_a_locale_that_is_none_is_told():
    files = files_of_folder(EU)
    faults = faults_in({**files, "book.toml": files["book.toml"].replace(b'locale = "de-DE"', b'locale = "German"')})
    assert [pointer for pointer, _, _ in faults] == ["book.toml, locale"]


def test_remarks_are_passed_over_and_rows_count_with_them():
    files = us_files()
    text = b"# rates of this year\n" + files["freight.csv"].replace(b"\n", b"\n# by mass\n", 1)
    assert faults_in({**files, "freight.csv": text}) == []
    faults = faults_in({**files, "freight.csv": text.replace(b",0,", b",x,", 1)})
    assert faults[0][0] == "freight.csv, row 4, column from_mass"
