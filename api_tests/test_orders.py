"""Accepted quotes become one order list for each supplier; a quote is ordered once."""

import csv
import io
import re
import zipfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import openpyxl

from api_tests.posted import a_job, on_rails


def test_two_quotes_are_ordered_together_and_each_only_once(estimator, purchasing):
    quotes = [estimator.accepted_quote(a_job())["id"] for _ in range(2)]
    made = purchasing.order(*quotes, once="order-" + quotes[0])
    assert made.status_code == 201, made.text
    order = made.json()
    assert sorted(order["quotes"]) == sorted(quotes)
    lines = [line for supplier in order["suppliers"] for line in supplier["lines"]]
    assert all(line["ordered"] % line["pack_size"] == 0 for line in lines)
    assert all(sum(share["required"] for share in line["shares"]) == line["required"] for line in lines)
    assert purchasing.order(*quotes, once="order-" + quotes[0]).content == made.content
    again = purchasing.order(quotes[0])
    assert again.status_code == 409
    assert again.json()["type"] == "/problems/already-used"
    assert purchasing.quote(quotes[0]).json()["order_list"] == order["id"]


def test_a_quote_ordered_from_two_places_at_once_is_ordered_once(estimator, purchasing):
    quote = estimator.accepted_quote(a_job())["id"]
    with ThreadPoolExecutor(4) as pool:
        answers = [answer.status_code for answer in pool.map(lambda _: purchasing.order(quote), range(4))]
    assert sorted(answers) == [201, 409, 409, 409]


def test_stock_is_used_first(estimator, purchasing):
    plain = purchasing.order(estimator.accepted_quote(a_job())["id"]).json()
    line = plain["suppliers"][0]["lines"][0]
    stocked = purchasing.order(estimator.accepted_quote(a_job())["id"], stock={line["part"]: line["required"]}).json()
    parts = {each["part"] for supplier in stocked["suppliers"] for each in supplier["lines"]}
    assert line["part"] not in parts
    unknown = purchasing.order(estimator.accepted_quote(a_job())["id"], stock={"no-such-part": 1})
    assert unknown.status_code == 422


def test_a_draft_is_not_ordered(estimator, purchasing):
    quote = estimator.quote_job(estimator.post_job(a_job()).json()["id"]).json()
    assert purchasing.order(quote["id"]).status_code == 409
    assert purchasing.order("01a212e1-1998-758d-86f9-879fdfdc62f7").status_code == 422


def test_the_csv_holds_every_line_of_every_supplier(estimator, purchasing):
    order = purchasing.order(estimator.accepted_quote(a_job())["id"]).json()
    answer = purchasing.order_list(order["id"], accept="text/csv")
    assert answer.status_code == 200
    rows = list(csv.DictReader(io.StringIO(answer.text, newline="")))
    lines = [(line["part"], str(line["ordered"])) for supplier in order["suppliers"] for line in supplier["lines"]]
    assert [(row["part"], row["ordered"]) for row in rows] == lines
    for supplier in order["suppliers"]:
        for kind in ("csv", "xml", "xlsx"):
            assert purchasing.get(supplier["links"][kind]).status_code == 200
    assert purchasing.get(order["links"]["xlsx"]).content.startswith(b"PK")


def test_rails_of_two_quotes_are_cut_from_common_bars_where_purchasing_asks(estimator, purchasing):
    quotes = [estimator.accepted_quote(on_rails())["id"] for _ in range(3)]
    order = purchasing.order(*quotes, cut_together=True).json()
    common = order["cut_together"]
    assert common
    for each in common:
        assert len(each["quotes"]) == 3
        assert float(each["saving"]) >= 0
        assert each["together"]["splices"] <= each["apart"]["splices"] or each["joints_moved"]
    assert purchasing.order(*[estimator.accepted_quote(on_rails())["id"]]).json()["cut_together"] == []


def test_rails_cut_together_have_one_saw_list_over_all_jobs(estimator, purchasing):
    """Rails of three modules from bars of one kind, of two from what they leave."""
    quotes = [estimator.accepted_quote(_columns(count)) for count in (3, 2, 3, 2)]
    order = purchasing.order(*[each["id"] for each in quotes], cut_together=True).json()
    links = order["links"]
    used = [each for each in order["cut_together"] if each["used"]]
    assert used
    rows = list(csv.DictReader(io.StringIO(purchasing.get(links["saw_list_csv"]).text, newline="")))
    places = [(row["quote"], row["run"], row["piece"]) for row in rows]
    assert len(set(places)) == len(places)
    assert {row["quote"] for row in rows} == {number for each in used for number in each["quotes"]}
    wanted = sum(_pieces_of(purchasing, each) for each in quotes)
    assert len(rows) == wanted
    bars = {(row["part"], row["bar"]) for row in rows}
    assert len(bars) == sum(bar["count"] for each in used for bar in each["bars"])
    assert purchasing.get(links["saw_list_pdf"]).content.startswith(b"%PDF-")
    sheets = openpyxl.load_workbook(io.BytesIO(purchasing.get(links["saw_list_xlsx"]).content)).sheetnames
    whole = openpyxl.load_workbook(io.BytesIO(purchasing.get(links["xlsx"]).content)).sheetnames
    own_sheets = [name for name in whole if name in sheets]
    assert own_sheets == sheets
    own = openpyxl.load_workbook(io.BytesIO(purchasing.get(order["suppliers"][0]["links"]["xlsx"]).content))
    assert sheets[0] not in own.sheetnames


def _columns(count):
    job = on_rails()
    job["roofs"][0]["arrays"][0].update(columns=count, omit=[])
    return job


def _pieces_of(client, quote):
    return client.quote(quote["id"], include="cut_plan").json()["estimate"]["cut_plan"]["pieces"]


def test_an_order_cut_apart_has_no_saw_list_of_its_own(estimator, purchasing):
    order = purchasing.order(estimator.accepted_quote(on_rails())["id"]).json()
    assert "saw_list_pdf" not in order["links"]
    for ending in ("pdf", "xlsx", "csv"):
        answer = purchasing.get(f"{order['links']['self']}/saw-list.{ending}")
        assert (answer.status_code, answer.json()["type"]) == (409, "/problems/conflict")


def test_orders_and_packing_lists_come_on_paper_and_packing_lists_without_prices(estimator, purchasing):
    order = purchasing.order(estimator.accepted_quote(on_rails())["id"]).json()
    for supplier in order["suppliers"]:
        assert purchasing.get(supplier["links"]["pdf"]).content.startswith(b"%PDF-")
        assert purchasing.get(supplier["links"]["packing_list"]).content.startswith(b"%PDF-")
    assert purchasing.get(order["links"]["packing_list"]).content.startswith(b"%PDF-")
    table = openpyxl.load_workbook(
        io.BytesIO(purchasing.get(order["links"]["self"] + "/packing-list.xlsx").content), data_only=True
    )
    shown = {str(cell.value) for sheet in table for row in sheet.iter_rows() for cell in row}
    totals = {supplier["total"] for supplier in order["suppliers"]}
    assert not shown & totals


def test_what_a_spreadsheet_would_run_is_inert_in_the_csv_that_people_open(estimator, purchasing):
    job = on_rails()
    job["site"]["address"]["lines"] = ["=1+1"]
    order = purchasing.order(estimator.accepted_quote(job)["id"]).json()
    here = order["links"]["self"]
    plain = purchasing.get(here + "/order-list.csv").content
    context = purchasing.get(here + "/order-list-spreadsheet.csv").content
    machine = purchasing.get(here + "/order-list-machine.csv").content
    assert context.startswith(b"\xef\xbb\xbf")
    tables = (("plain", plain, ","), ("machine", machine, ","), ("people", context, ";"))
    rows = {
        name: next(csv.DictReader(io.StringIO(text.decode("utf-8-sig"), newline=""), delimiter=sign))
        for name, text, sign in tables
    }
    assert rows["people"]["ship_to"].startswith("'=1+1")
    assert rows["people"]["unit_cost"] == rows["machine"]["unit_cost"].replace(".", ",")  # the house is in Germany
    assert rows["plain"]["ship_to"].startswith("'=1+1")
    assert rows["machine"]["ship_to"].startswith("=1+1")


def test_a_suppliers_papers_are_in_its_own_language_and_units_and_the_houses_stay_its_own(
    clients, service, estimator, purchasing
):
    """The French supplier of this edition reads French, inches and pounds; the jobs are English and metric."""
    folder = Path(service.environment["ESTIMATOR_PRICEBOOKS"]) / "hanse-eu" / "2026-12"
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        for path in sorted(folder.iterdir()):
            content = path.read_text(encoding="utf-8")
            if path.name == "book.toml":
                content = re.sub(r"(?m)^id *=.*$", 'id = "french"', content)
            if path.name == "suppliers.csv":
                head, *rows = content.splitlines()
                rows = [f"{row};fr;us" if row.startswith("tournevire") else f"{row};;" for row in rows]
                content = "\n".join([f"{head};language;units", *rows, ""])
            archive.writestr(zipfile.ZipInfo(path.name), content)
    uploaded = clients["pricing"].upload(stream.getvalue())
    assert uploaded.status_code == 201, uploaded.text
    order = purchasing.order(estimator.accepted_quote(a_job(), pricebook="french")["id"]).json()
    links = {each["supplier"]: each["links"] for each in order["suppliers"]}
    sheets = {
        supplier: openpyxl.load_workbook(io.BytesIO(purchasing.get(links[supplier]["xlsx"]).content)).active
        for supplier in links
    }
    heads = {supplier: {str(cell.value) for row in sheet for cell in row} for supplier, sheet in sheets.items()}
    assert "Désignation" in heads["tournevire"]
    assert any(text.endswith(("lb", "lb)")) for text in heads["tournevire"])
    for supplier in links.keys() - {"tournevire"}:
        assert "Description" in heads[supplier]
    people = csv.DictReader(io.StringIO(purchasing.get(links["tournevire"]["office_csv"]).content.decode("utf-8-sig")))
    assert "line_mass_lb" in people.fieldnames[0].split(";") or "line_mass_lb" in people.fieldnames
    whole = openpyxl.load_workbook(io.BytesIO(purchasing.get(order["links"]["xlsx"]).content))
    assert all(any(cell.value == "Description" for row in sheet for cell in row) for sheet in whole)


def test_masses_in_answers_are_rounded_whatever_units_the_book_has(estimator):
    """To the gram, and of one part to the milligram: a part of so many pounds has more digits than any scales."""
    answer = estimator.estimate(a_job(), pricebook="prairie-us").json()
    masses = [(line["unit_mass"], line["mass"]) for line in answer["lines"]]
    assert all(round(each, 6) == each and round(every, 3) == every for each, every in masses)
    assert any(each != round(each, 3) for each, _ in masses)
    assert round(answer["freight"]["mass"], 3) == answer["freight"]["mass"]
