"""Every fault of a book is told at once, each with file, row and column and what is allowed."""

import re
from dataclasses import replace

import pytest

from estimator.storage.books import files_of_folder, read_book_files
from tests.facts import facts
from tests.storage.books.book_files import (
    EU,
    codes_in,
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


def uncounted(files):
    """Role and basis of every structural part that no rule counts."""
    return {tuple(facts(message)[:2]) for place, message, _ in faults_in(files) if place == "assembly_rules.csv"}


CELLS = [  # table, row, column, what the cell holds, the code of the fault
    ("brackets.csv", 4, "max_span", "48,5", "ambiguous_number"),
    ("brackets.csv", 4, "max_span", "-48", "out_of_range"),
    ("brackets.csv", 4, "max_span", "nan", "unreadable_quantity"),
    ("brackets.csv", 4, "max_span", "inf", "unreadable_quantity"),
    ("brackets.csv", 4, "max_span", "0", "out_of_range"),
    ("brackets.csv", 4, "max_span", "", "missing"),
    ("brackets.csv", 4, "max_span", "48 lbf", "wrong_unit"),
    ("brackets.csv", 4, "max_span", "1e30", "out_of_range"),
    ("brackets.csv", 2, "crown_width_max", "0.5", "wrong_order"),
    ("brackets.csv", 2, "material", "brass", "not_allowed"),
    ("brackets.csv", 2, "sheet_materials", "steel;tin", "not_allowed"),
    ("brackets.csv", 2, "rails", "TG-RA15;TG-RA99", "unknown_name"),
    ("brackets.csv", 2, "sheet_thickness_min", "99 ga", "out_of_range"),
    ("brackets.csv", 2, "part", "TG-A27", "named_twice"),
    ("strength_tests.csv", 2, "bracket", "TG-Z1", "unknown_name"),
    ("strength_tests.csv", 2, "direction", "sideways", "not_allowed"),
    ("strength_tests.csv", 2, "safety_factor", "", "missing"),
    ("strength_tests.csv", 2, "safety_factor", "0.9", "out_of_range"),
    ("strength_tests.csv", 2, "results", "900;1000", "too_few"),
    ("strength_tests.csv", 2, "results", "900;1000;1300", "contradiction"),
    ("strength_tests.csv", 2, "resistance_factor", "1.2", "out_of_range"),
    ("strength_tests.csv", 2, "arrangement", "hanging", "not_allowed"),
    ("strength_tests.csv", 2, "arrangement", "direct", "contradiction"),
    ("strength_tests.csv", 2, "rail_direction", "sideways", "not_allowed"),
    ("strength_tests.csv", 2, "height", "-1.9", "out_of_range"),
    ("strength_tests.csv", 2, "characteristic", "5000", "wrong_order"),
    ("splices.csv", 2, "shear", "", "missing"),
    ("splices.csv", 3, "moment", "7000", "contradiction"),
    ("splices.csv", 2, "safety_factor", "0.5", "out_of_range"),
    ("splices.csv", 2, "moment", "7000 lbf", "wrong_unit"),
    ("splices.csv", 2, "moment_characteristic", "9000", "wrong_order"),
    ("splices.csv", 3, "least_gap", "wide", "unreadable_quantity"),
    ("clamps.csv", 2, "results", "900;1000", "too_few"),
    ("rails.csv", 2, "weak_inertia", "", "missing"),
    ("screw_joints.csv", 2, "rule", "guess", "not_allowed"),
    ("texts.csv", 2, "text", "Prices hold for ever.", "unknown_name"),
    ("texts.csv", 2, "language", "Spanish", "unknown_code"),
    ("texts.csv", 2, "translation", "", "missing"),
    ("parts.csv", 2, "cost", "6.12 EUR", "contradiction"),
    ("parts.csv", 2, "cost", "-6.12", "out_of_range"),
    ("parts.csv", 2, "cost", "6,12", "ambiguous_number"),
    ("parts.csv", 2, "cost", "NaN", "unreadable_quantity"),
    ("parts.csv", 2, "supplier", "nobody", "unknown_name"),
    ("parts.csv", 2, "pack_size", "0", "out_of_range"),
    ("parts.csv", 2, "pack_size", "2.5", "out_of_range"),
    ("parts.csv", 2, "unit", "pieces", "not_allowed"),
    ("parts.csv", 2, "role", "Bracket!", "not_allowed"),
    ("parts.csv", 2, "unit_mass", "0.25", "contradiction"),
    ("parts.csv", 2, "country_of_origin", "Kansas", "not_allowed"),
    ("parts.csv", 2, "spare_loss_rate", "0.02", "missing"),
    ("parts.csv", 2, "description", "a\x07b", "unprintable"),
    ("parts.csv", 2, "description", "a\nb", "unprintable"),
    ("parts.csv", 2, "description", "a" * 501, "wrong_length"),
    ("price_breaks.csv", 2, "part", "TG-Z1", "unknown_name"),
    ("price_breaks.csv", 3, "from_quantity", "150", "wrong_order"),
    ("price_breaks.csv", 3, "cost", "6.00", "wrong_order"),
    ("price_breaks.csv", 2, "cost", "6.20", "wrong_order"),
    ("rails.csv", 2, "arrangements", "direct", "not_allowed"),
    ("rails.csv", 2, "mass_per_length", "0.6", "contradiction"),
    ("rails.csv", 2, "section_modulus", "0.21", "contradiction"),
    ("rails.csv", 2, "yield_strength", "40", "wrong_order"),
    ("rails.csv", 2, "allowable_stress", "36", "wrong_order"),
    ("rails.csv", 2, "design_strength", "39", "wrong_order"),
    ("rail_stock.csv", 2, "length", "170", "contradiction"),
    ("rail_stock.csv", 2, "rail", "TG-RA99", "unknown_name"),
    ("rail_stock.csv", 2, "available", "-3", "out_of_range"),
    ("clamps.csv", 2, "part", "TG-Z1", "unknown_name"),
    ("clamps.csv", 2, "kind", "hook", "not_allowed"),
    ("clamps.csv", 3, "frame_min", "34 mm", "contradiction"),
    ("clamps.csv", 2, "bonding", "maybe", "not_allowed"),
    ("splices.csv", 2, "rail", "TG-RA99", "unknown_name"),
    ("splices.csv", 2, "minutes", "4 min", "unreadable_quantity"),
    ("assembly_rules.csv", 3, "count", "none", "wrong_kind"),
    ("assembly_rules.csv", 3, "count", "0", "wrong_kind"),
    ("assembly_rules.csv", 3, "for_each", "moons", "not_allowed"),
    ("assembly_rules.csv", 3, "role", "moon", "unknown_name"),
    ("assembly_rules.csv", 3, "role", "rail", "not_allowed"),
    ("assembly_rules.csv", 3, "part", "TG-SCR12", "contradiction"),
    ("assembly_rules.csv", 3, "bracket", "TG-Z1", "unknown_name"),
    ("assembly_rules.csv", 3, "arrangement", "hanging", "not_allowed"),
    ("suppliers.csv", 2, "minimum_order", "250.00 EUR", "contradiction"),
    ("freight.csv", 2, "from_mass", "10 kg", "out_of_range"),
    ("freight.csv", 4, "from_mass", "400 kg", "wrong_order"),
    ("labour.csv", 2, "minutes", "", "missing"),
]  # fmt: skip


@pytest.mark.parametrize(("table", "row", "column", "value", "code"), CELLS)
def test_a_cell_at_fault_is_told_with_its_place(table, row, column, value, code):
    found = codes_in(with_cell(table, row, column, value))
    assert found, "the book was read"
    at = [fault for fault in found if fault[0].startswith(f"{table}, row {row},")]
    told = at or [fault for fault in found if fault[0].startswith(table)]
    assert code in {told for _, told in told}, found


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
    assert ("suppliers.csv, row 2", "wrong_length") in codes_in(files)


@pytest.mark.parametrize(
    ("content", "place", "code"),
    [
        (b"", "suppliers.csv", "nothing_there"),
        ("supplier,name\nä,b".encode("latin-1"), "suppliers.csv", "unreadable_file"),
        (b'supplier,name\n"a,b', "suppliers.csv", "unreadable_file"),
        (b"supplier,name\n" + b"a,b\n" * 20_001, "suppliers.csv", "too_many"),
        (b"supplier,supplier,name\na,b,c", "suppliers.csv, row 1, column supplier", "named_twice"),
        (b"supplier,name\na\x00,b", "suppliers.csv, row 2, column supplier", "unprintable"),
    ],
    ids=["empty", "another encoding", "an open quotation", "too many rows", "a column twice", "a null sign"],
)
def test_a_file_that_is_no_table_is_told(content, place, code):
    found = codes_in(us_files() | {"suppliers.csv": content})
    assert (place, code) in found


@pytest.mark.parametrize(
    ("rule", "role", "basis"),
    [
        ("bracket", "bracket", "attachments"),
        ("screws", "screw", "attachments"),
        ("mid-clamp", "mid clamp", "mid_clamps"),
        ("end-clamp", "end clamp", "end_clamps"),
        ("splice", "splice", "splices"),
        ("expansion-splice", "expansion splice", "expansion_splices"),
    ],
)
def test_a_structural_part_that_no_rule_counts_is_told(rule, role, basis):
    files = without_row("assembly_rules.csv", row_of("assembly_rules.csv", "rule", rule))
    assert uncounted(files) == {(role, basis)}


def test_half_a_bracket_for_an_attachment_is_told():
    row = row_of("assembly_rules.csv", "rule", "bracket")
    assert uncounted(with_cell("assembly_rules.csv", row, "count", "1/2")) == {("bracket", "attachments")}


def test_a_structural_rule_that_holds_for_one_arrangement_only_leaves_the_others_uncounted():
    row = row_of("assembly_rules.csv", "rule", "screws")
    files = with_cell("assembly_rules.csv", row, "arrangement", "rail_on_side")
    assert uncounted(files) == {("screw", "attachments")}
    assert any(" rail_on_top " in facts(message)[2] for _, message, _ in faults_in(files))
    assert not any(" rail_on_side " in facts(message)[2] for _, message, _ in faults_in(files))


def test_a_second_bracket_for_an_attachment_is_refused():
    row = row_of("assembly_rules.csv", "rule", "bracket")
    found = codes_in(with_cell("assembly_rules.csv", row, "count", "2"))
    assert set(found) == {(f"assembly_rules.csv, row {row}, column count", "contradiction")}


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
    for _, message, _ in found:
        foot, mounting = facts(message)
        assert (foot, " rail_on_top " in mounting) == ("'foot'", True)


def test_a_role_that_two_parts_could_play_is_told():
    files = with_row(
        "parts.csv", part="TG-NUT2", role="nut", description="Another nut", unit_mass="0.02", cost="0.20",
        supplier="quillbarb", supplier_part="QB-N2",
    )  # fmt: skip
    assert {code for _, code in codes_in(files)} == {"contradiction"}
    assert ["'nut'", "steel", "TG-NUT38, TG-NUT2"] in [facts(message) for _, message, _ in faults_in(files)]


def test_a_role_that_no_part_of_the_material_plays_is_told():
    row = row_of("parts.csv", "part", "TG-CAPS")
    files = with_cell("parts.csv", row, "role", "plug")
    assert {code for _, code in codes_in(files)} == {"unknown_name"}
    assert ["'end_cap'", "steel"] in [facts(message) for _, message, _ in faults_in(files)]


def test_a_bracket_row_whose_part_is_no_bracket_is_told():
    row = row_of("parts.csv", "part", "TG-A27")
    found = faults_in(with_cell("parts.csv", row, "role", "nut"))
    assert any(place.startswith("brackets.csv, row 3") for place, _, _ in found)


def test_a_rail_without_a_splice_or_without_bars_is_told():
    assert ("splices.csv", "missing") in codes_in(without_row("splices.csv", 2))
    files = us_files()
    records = [each for each in records_of(files, "rail_stock.csv") if each[0] != "TG-RS15"]
    row = row_of("rails.csv", "rail", "TG-RS15")
    assert (f"rails.csv, row {row}, column rail", "missing") in codes_in(files | {"rail_stock.csv": written(records)})


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
    ("table", "changes", "number"),
    [
        ("freight.csv", [("28.00", "28,00"), ("48.00", "1.234")], "1.234"),
        ("freight.csv", [("28.00", "28,00")], "48.00"),
    ],
)
def test_what_can_be_read_both_ways_is_a_fault_with_its_cell(table, changes, number):
    files = german(table, *changes)
    assert "ambiguous_number" in {code for place, code in codes_in(files) if place.startswith("freight.csv, row")}
    assert [repr(number)] in [facts(message) for _, message, _ in faults_in(files)]


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
