"""Editions in service: put in, compared, approved by a second person, withdrawn, made from a supplier's price list.

What must hold comes from the design; the numbers of the list below are reckoned beside it by hand.
"""

import io

import openpyxl
import pytest
from sqlalchemy import select

from api_tests.posted import a_job
from estimator.service.dispatch.courier import Courier
from estimator.service.pricebooks import packed
from estimator.storage.books import files_of_folder, files_of_zip
from estimator.storage.tables import UploadedEditionRow
from tests.api.house import House
from tests.storage.books.book_files import EU

CHOICES = {"pricebook": "hanse-eu", "priced_on": "2026-11-30", "validity_days": 3650}
HERE = "/v1/pricebooks/hanse-eu/editions"
COLUMNS = {
    "part": "Artikel", "cost": "Netto", "unit": "ME", "currency": "Währung", "pack": "VPE", "price_per": "Preis je",
    "decimal_sign": ",", "units": {"Stk": "C62"},
}  # fmt: skip
LIST = """Artikel;Bezeichnung;Netto;ME;Währung;VPE;Preis je
ZF A48;Halter 48;561,75;Stk;EUR;25;100
ZF A66;Halter 66;6,05;Stk;EUR;25;1
ZF 9999;Neu;1.234,50;Stk;EUR;1;1
""".encode()


@pytest.fixture
def house(tmp_path):
    made = House(tmp_path)
    yield made
    made.close()


def listed(house, key, content=LIST, media="text/csv", edition="2027-01", **query):
    query = {
        "supplier": "zwirnfels",
        "new_edition": edition,
        "valid_from": "2026-11-29",
        "valid_until": "2099-12-31",
    } | query
    return house.call(
        key, "POST", f"{HERE}/2026-12/price-lists", query_string=query, data=content, headers={"Content-Type": media}
    )


def tell_columns(house, key, **changes):
    return house.call(key, "POST", "/v1/suppliers/zwirnfels/price-list-columns", json={**COLUMNS, **changes})


def wants_approval(house, admin):
    policy = {"editions_need_approval": True}
    assert house.call(admin, "PATCH", "/v1/policy", json=policy, headers={"If-Match": '"v1"'}).status_code == 200


def test_a_list_makes_an_edition_that_waits_is_compared_approved_priced_by_and_withdrawn(house):
    pricing, admin, estimator = house.key("pricing"), house.key("admin"), house.key("estimator")
    wants_approval(house, admin)
    job = house.call(estimator, "POST", "/v1/jobs", json=a_job()).get_json()["id"]
    older = house.call(estimator, "POST", f"/v1/jobs/{job}/quotes", json={**CHOICES, "edition": "2026-12"}).get_json()

    assert listed(house, pricing).get_json()["errors"][0]["pointer"] == "/supplier"
    assert tell_columns(house, pricing).status_code == 200
    made = listed(house, pricing)
    assert made.status_code == 201, made.text
    report = made.get_json()["report"]
    assert report["changed"] == ["HB-A48"]  # 561.75 for 100 is 5.6175; it was 5.35
    assert report["unchanged"] == ["HB-A66"]
    assert report["not_in_book"] == ["ZF 9999"]
    assert report["breaks_kept"] == ["HB-A48"]
    assert "HB-A48" not in report["missing"]

    new = {**CHOICES, "edition": "2027-01"}
    waits = house.call(estimator, "POST", f"/v1/jobs/{job}/quotes", json=new)
    assert waits.get_json()["errors"][0]["code"] == "not_approved"
    compared = house.call(estimator, "GET", f"{HERE}/2027-01/differences?with=2026-12&alarm=0.04").get_json()
    cost = next(each for each in compared["differences"] if (each["of"], each["column"]) == ("HB-A48", "cost"))
    assert (cost["before"], cost["after"], cost["alarm"]) == ("5.35", "5.6175", "the cost rises by 5.0%")
    assert compared["alarms"] >= 1
    (effect,) = compared["quotes"]
    assert effect["id"] == older["id"]
    brackets = next(each for each in older["estimate"]["lines"] if each["part"].startswith("HB-A"))
    change = float(effect["cost_after"]) - float(effect["cost_before"])
    expected = brackets["ordered"] * (5.6175 - 5.35) if brackets["part"] == "HB-A48" else 0.0
    assert change == pytest.approx(expected, abs=0.005)
    summed = compared["open_quotes"]
    assert (summed["count"], compared["quotes_left_out"]) == (1, 0)
    assert (summed["cost_before"], summed["cost_after"]) == (effect["cost_before"], effect["cost_after"])
    fault = house.call(estimator, "GET", f"{HERE}/2027-01/differences?with=2026-12&quotes=10001").get_json()
    assert [each["pointer"] for each in fault["errors"]] == ["/quotes"]

    why = {"reason": "compared with the supplier's letter"}
    assert house.call(pricing, "POST", f"{HERE}/2027-01/approve", json=why).status_code == 403
    assert house.call(estimator, "POST", f"{HERE}/2027-01/approve", json=why).status_code == 403
    assert house.call(admin, "POST", f"{HERE}/2027-01/approve", json=why).status_code == 200
    assert house.call(admin, "POST", f"{HERE}/2027-01/approve", json=why).status_code == 409
    for _ in range(2):
        Courier(house.context).look_for_expiry()
    told = house.call(estimator, "GET", "/v1/events?kind=edition.in_force").get_json()["items"]
    assert [each["data"]["edition"] for each in told] == ["2027-01"]
    quote = house.call(estimator, "POST", f"/v1/jobs/{job}/quotes", json=new)
    assert quote.get_json()["edition"] == "2027-01"

    assert house.call(pricing, "POST", f"{HERE}/2027-01/withdraw", json=why).status_code == 200
    gone = house.call(estimator, "POST", f"/v1/jobs/{job}/quotes", json=new)
    assert gone.get_json()["errors"][0]["code"] == "not_approved"
    assert house.call(estimator, "POST", f"/v1/jobs/{job}/quotes", json=CHOICES).get_json()["edition"] == "2026-12"
    assert house.call(estimator, "GET", f"/v1/quotes/{quote.get_json()['id']}").status_code == 200
    editions = house.call(estimator, "GET", "/v1/pricebooks").get_json()["items"]
    standing = {each["edition"]: each["standing"] for each in editions if each["id"] == "hanse-eu"}
    assert (standing["2027-01"], standing["2026-12"]) == ("withdrawn", "approved")


def test_every_cell_that_the_list_does_not_change_stays_as_it_was(house):
    pricing = house.key("pricing")
    tell_columns(house, pricing)
    assert listed(house, pricing).status_code == 201
    before, after = files_of_folder(EU), kept_files(house)
    assert {name for name in before if before[name] != after[name]} == {"parts.csv", "book.toml"}
    old, new = (each["parts.csv"].decode().splitlines() for each in (before, after))
    changed = [(one, other) for one, other in zip(old, new, strict=True) if one != other]
    assert [one.replace(";5.35;", ";5.6175;") for one, _ in changed] == [other for _, other in changed]
    lines = zip(before["book.toml"].decode().splitlines(), after["book.toml"].decode().splitlines(), strict=True)
    assert [one.partition(" ")[0] for one, other in lines if one != other] == ["edition", "valid_from"]


IN_ROWS = """Artikel;Netto;Preis je;ab
ZF A48;561,75;100;
ZF A48;5,30;1;250
ZF A48;505,00;100;1.200
ZF A66;6,05;1;1
"""
IN_COLUMNS = """Artikel;Netto;Preis je;ab 250;ab 1200
ZF A48;561,75;100;530;505,00
ZF A66;6,05;1;;
"""
BREAKS = [{"column": "ab 250", "from": 250}, {"column": "ab 1200", "from": 1_200}]


@pytest.mark.parametrize(
    ("content", "told"), [(IN_ROWS, {"from_quantity": "ab"}), (IN_COLUMNS, {"breaks": BREAKS})], ids=["rows", "columns"]
)
def test_quantity_breaks_of_a_list_take_the_place_of_those_in_the_book(house, content, told):
    """By hand: 561.75 for 100 are 5.6175 each, from 250 on 5.30, from 1,200 on 5.05; HB-A66 has no break any more."""
    pricing, few = house.key("pricing"), {"part": "Artikel", "cost": "Netto", "price_per": "Preis je"}
    columns = {**few, "decimal_sign": ",", **told}
    answer = house.call(pricing, "POST", "/v1/suppliers/zwirnfels/price-list-columns", json=columns)
    assert answer.get_json()["columns"] == columns
    made = listed(house, pricing, content.encode())
    assert made.status_code == 201, made.text
    report = made.get_json()["report"]
    assert (report["breaks_changed"], report["breaks_kept"]) == (["HB-A48", "HB-A66"], [])
    before, after = files_of_folder(EU)["price_breaks.csv"].decode(), kept_files(house)["price_breaks.csv"].decode()
    others = [line for line in before.splitlines() if not line.startswith(("HB-A48;", "HB-A66;"))]
    own = ["HB-A48;250;5.3", "HB-A48;1200;5.05"]
    assert after.splitlines() == [others[0], *own, *others[1:]]


@pytest.mark.parametrize(
    ("row", "code"),
    [
        ("ZF A48;5,60;1;250", "missing"),
        ("ZF A48;5,60;1;\nZF A48;5,70;1;100", "wrong_order"),
        ("ZF A48;5,60;1;\nZF A48;5,50;1;100\nZF A48;5,40;1;100", "named_twice"),
        ("ZF A48;5,60;1;\nZF A48;5,50;1;2,5", "wrong_kind"),
        ("ZF A48;5,60;1;1\nZF A48;5,50;1;", "named_twice"),
    ],
)
def test_breaks_that_cannot_be_are_told_with_their_row(house, row, code):
    pricing = house.key("pricing")
    columns = {"part": "Artikel", "cost": "Netto", "price_per": "Preis je", "decimal_sign": ",", "from_quantity": "ab"}
    house.call(pricing, "POST", "/v1/suppliers/zwirnfels/price-list-columns", json=columns)
    answer = listed(house, pricing, f"Artikel;Netto;Preis je;ab\n{row}\n".encode())
    (fault,) = answer.get_json()["errors"]
    assert fault["code"] == code and fault["pointer"].startswith("row "), fault


def test_a_price_with_the_other_decimal_sign_is_told_which_one_was_said(house):
    pricing = house.key("pricing")
    columns = {"part": "Artikel", "cost": "Netto", "decimal_sign": "."}
    house.call(pricing, "POST", "/v1/suppliers/zwirnfels/price-list-columns", json=columns)
    (fault,) = listed(house, pricing, b"Artikel;Netto\nZF A48;5,60\n").get_json()["errors"]
    assert (fault["pointer"], fault["code"]) == ("row 2", "wrong_kind")
    assert "'.'" in fault["allowed"]


def kept_files(house):
    with house.context.reading() as session:
        return files_of_zip(session.scalars(select(UploadedEditionRow)).one().archive)


def test_all_faults_of_a_list_are_told_with_their_rows(house):
    pricing = house.key("pricing")
    tell_columns(house, pricing)
    wrong = """Artikel;Netto;ME;Währung;VPE;Preis je
ZF A48;5,6.1;Stk;EUR;25;1
ZF A66;6,05;m;USD;0;0
ZF A66;6,05;Stk;EUR;25;1
"""
    answer = listed(house, pricing, wrong.encode())
    assert answer.status_code == 422
    found = [(each["pointer"], each["detail"]) for each in answer.get_json()["errors"]]
    assert {pointer for pointer, _ in found} == {"row 2", "row 3", "row 4"}
    assert len([1 for pointer, _ in found if pointer == "row 3"]) == 4
    lacking = listed(house, pricing, b"Artikel;Preis\nZF A48;5\n")
    assert "'Netto'" in lacking.text
    assert (
        listed(
            house, pricing, b"PK not a workbook", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
        ).status_code
        == 422
    )


def test_a_workbook_says_the_same_as_csv(house):
    pricing = house.key("pricing")
    tell_columns(house, pricing, sheet="Preise", header_row=3)
    book = openpyxl.Workbook()
    book.active.title = "Deckblatt"
    sheet = book.create_sheet("Preise")
    sheet.append(["Preisliste"])
    sheet.append([])
    sheet.append(["Artikel", "Netto", "ME", "Währung", "VPE", "Preis je"])
    sheet.append(["ZF A48", 561.75, "Stk", "EUR", 25, 100])
    stream = io.BytesIO()
    book.save(stream)
    media = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
    made = listed(house, pricing, stream.getvalue(), media)
    assert made.status_code == 201, made.text
    assert made.get_json()["report"]["changed"] == ["HB-A48"]


def test_a_house_that_asks_for_no_second_person_has_its_edition_at_once(house):
    pricing, estimator = house.key("pricing"), house.key("estimator")
    files = dict(files_of_folder(EU))
    files["book.toml"] = (
        files["book.toml"].replace(b'"2026-12"', b'"2027-02"', 1).replace(b"2026-11-24", b"2026-11-28", 1)
    )
    posted = house.call(
        pricing, "POST", "/v1/pricebooks", data=packed(files), headers={"Content-Type": "application/zip"}
    )
    assert posted.status_code == 201, posted.text
    items = house.call(estimator, "GET", "/v1/pricebooks").get_json()["items"]
    assert {"2027-02": "approved"}.items() <= {each["edition"]: each["standing"] for each in items}.items()


def test_another_house_sees_nothing_of_it(house):
    pricing, stranger = house.key("pricing"), house.key("pricing", "another house")
    tell_columns(house, pricing)
    listed(house, pricing)
    assert house.call(stranger, "GET", "/v1/suppliers/zwirnfels/price-list-columns").status_code == 404
    assert house.call(stranger, "GET", f"{HERE}/2027-01").status_code == 404
    for what in ("approve", "withdraw"):
        assert house.call(stranger, "POST", f"{HERE}/2027-01/{what}", json={"reason": "x"}).status_code == 404
