"""Order lists as CSV and UBL: every line and total, schemas, code lists, and texts that stay inert."""

import csv
import io
from dataclasses import replace
from decimal import Decimal

import pandas as pd
import pytest
from lxml import etree

from estimator.documents.order.csv import COLUMNS, write_order_csv
from estimator.documents.order.ubl import write_ubl_order
from estimator.documents.papers import ORDER_FORMS
from estimator.documents.purchasing.facts import for_supplier
from estimator.errors import Refused
from estimator.money import Money
from tests.documents.order_examples import HEADER, PAYLOADS, an_order
from tests.documents.xml.ubl_schemas import no_currency, set_text, ubl_schema, without
from tests.facts import refusing

NAMES = {"cbc": "urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2"}


@pytest.fixture(scope="module")
def order_schema():
    return ubl_schema("Order")


def test_the_csv_holds_every_line_and_adds_up():
    order = an_order()
    text = write_order_csv(order, HEADER)
    frame = pd.read_csv(io.BytesIO(text), dtype=str, keep_default_na=False)
    assert tuple(frame.columns) == COLUMNS
    assert sum((Decimal(each) for each in frame["line_total"]), Decimal(0)) == order.total.amount
    assert list(frame["ordered"]) == [str(line.ordered) for line in order.lines]
    assert text.count(b"\r\n") == len(order.lines) + 1
    assert not text.startswith(b"\xef\xbb\xbf")
    assert text == write_order_csv(an_order(), HEADER)


def test_a_spreadsheet_with_decimal_commas_gets_semicolons():
    text = write_order_csv(an_order(), HEADER, "spreadsheet", ";", ",")
    (row,) = csv.DictReader(io.StringIO(text.decode("utf-8-sig"), newline=""), delimiter=";")
    assert (row["unit_cost"], row["line_total"], row["line_mass_kg"]) == ("0,08", "40,00", "5,000")
    assert row["order_date"] == "2026-11-25"
    with refusing(Refused, holds=("','",)):
        write_order_csv(an_order(), HEADER, "spreadsheet", ",", ",")


@pytest.mark.parametrize("payload", PAYLOADS)
def test_a_text_that_a_spreadsheet_would_run_is_inert_in_the_spreadsheet_profile(payload):
    order = an_order()
    order = replace(order, lines=tuple(replace(line, description=payload) for line in order.lines))
    text = write_order_csv(order, HEADER, "spreadsheet").decode("utf-8-sig")
    for row in csv.DictReader(io.StringIO(text, newline="")):
        assert not row["description"].startswith(("=", "+", "-", "@", "\t", "＝"))
        assert row["description"].replace("'", "") == payload
    machine = write_order_csv(order, HEADER).decode()
    assert next(csv.DictReader(io.StringIO(machine, newline="")))["description"] == payload


def test_an_id_that_begins_like_a_formula_is_refused_for_machines():
    order = an_order()
    order = replace(order, lines=tuple(replace(line, supplier_part="=cmd") for line in order.lines))
    with pytest.raises(Refused) as refused:
        write_order_csv(order, HEADER)
    assert refused.value.faults[0].pointer == "line 1, supplier_part"


def test_the_ubl_order_is_valid_and_the_same_every_time(order_schema):
    written = write_ubl_order(an_order(), HEADER)
    order_schema.assertValid(etree.fromstring(written))
    assert written == write_ubl_order(an_order(), HEADER)
    assert etree.fromstring(written).findtext(".//cbc:PayableAmount", namespaces=NAMES) == str(an_order().total.amount)


@pytest.mark.parametrize("payload", PAYLOADS)
def test_texts_stay_texts_in_ubl(order_schema, payload):
    order = an_order()
    order = replace(order, lines=tuple(replace(line, description=payload) for line in order.lines))
    document = etree.fromstring(write_ubl_order(order, HEADER))
    order_schema.assertValid(document)
    assert document.findtext(".//cbc:Description", namespaces=NAMES) == payload.replace("\x0b", " ").strip()


@pytest.mark.parametrize(
    "mutate",
    [without("ID"), without("BuyerCustomerParty"), without("OrderLine"), set_text("Quantity", "hundred"),
     set_text("IssueDate", "25/11/2026"), no_currency("PayableAmount")],
)  # fmt: skip
def test_the_schema_is_a_check_that_can_fail(order_schema, mutate):
    document = etree.fromstring(write_ubl_order(an_order(), HEADER))
    mutate(document)
    assert not order_schema.validate(document)


def test_what_the_schema_lets_pass_is_checked_before_writing():
    order = an_order()
    wrong_unit = replace(order, lines=tuple(replace(line, unit="EACH-ONE") for line in order.lines))
    wrong_total = replace(order, total=Money(Decimal("1.00"), "EUR"))
    wrong_country = replace(order, country="XX")
    for wrong in (wrong_unit, wrong_total, wrong_country, replace(order, currency="EURO")):
        with pytest.raises(Refused):
            write_ubl_order(wrong, HEADER)


@pytest.mark.parametrize(
    ("units", "there", "absent"),
    [
        ("us", {"length_in", "unit_mass_lb", "line_mass_lb"}, {"length_mm", "unit_mass_kg", "line_mass_kg"}),
        ("us_metric", {"unit_mass_lb", "unit_mass_kg"}, set()),
        ("metric", {"unit_mass_kg"}, {"unit_mass_lb"}),
    ],
)
def test_people_read_measures_in_their_units_and_programs_in_millimetres_and_kilograms(units, there, absent):
    """Source: NIST SP 811, appendix B.8: 1 lb = 0.45359237 kg."""
    order = an_order(units=units)
    rows = list(csv.DictReader(io.StringIO(ORDER_FORMS["office.csv"].write([order], HEADER, ()).decode("utf-8-sig"))))
    assert there <= set(rows[0])
    assert not absent & set(rows[0])
    if "unit_mass_lb" in there:
        masses = [float(row["line_mass_lb"]) for row in rows]
        assert masses == pytest.approx([line.mass_kg / 0.45359237 for line in order.lines], abs=0.006)
    for name in ("csv", "machine.csv"):
        head = ORDER_FORMS[name].write([order], HEADER, ()).partition(b"\r\n")[0]
        assert tuple(head.decode().split(",")) == COLUMNS


def test_a_suppliers_order_is_in_its_own_language_and_units():
    order = an_order(units="metric")
    supplier = replace(order.supplier, language="fr", units="us")
    assert for_supplier(order, HEADER) == (order, HEADER)
    own, header = for_supplier(replace(order, supplier=supplier), HEADER)
    assert (own.units, header.language) == ("us", "fr")
    note = etree.fromstring(write_ubl_order(own, header)).findtext("cbc:Note", namespaces=NAMES)
    assert note == "Pour les devis Q-1, Q-2"
