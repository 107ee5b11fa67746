"""Purchasing ticks accepted quotes into order lists; pricing puts editions in, compares and withdraws them."""

import csv
import io
import re
import zipfile
from decimal import Decimal
from pathlib import Path

import pytest

from estimator.cli.pricebooks.books import check_pricebook
from estimator.contract.requests.pricing import pricing_of
from estimator.contract.requests.queries import EditionDifferencesQuerySchema
from estimator.errors import Refused
from estimator.pricebook.against import ALARM_SHARE
from estimator.service.context import store_nothing
from estimator.service.jobs import post_job
from estimator.service.operations import hold_on, put_back, take_operation
from estimator.service.people.accounts import list_people
from estimator.service.quoting import quotes
from estimator.service.quoting.stored import lists as quote_lists
from estimator.service.quoting.stored.quotes import get_whole
from estimator.tasks.work import work_once
from estimator.web.forms.job_form import plain_cells
from estimator.web.forms.stock import stock_of
from tests.web.desks import Desk, a_posted_job

BOOKS = Path(__file__).parents[2] / "pricebooks"


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    made = Desk(tmp_path_factory.mktemp("desk"))
    made.estimator, made.buyer, made.pricing = (made.person(role) for role in ("estimator", "purchasing", "pricing"))
    made.client = next(person.client for person, _ in list_people(made.context) if person.role == "estimator")
    yield made
    made.context.engine.dispose()


def an_accepted_quote(desk, reference):
    document = a_posted_job(reference)
    pricing = pricing_of(document, {})
    kept = post_job(desk.context, desk.client, pricing.job, document, store_nothing)
    card = quotes.draft_quote(desk.context, desk.client, kept.id, pricing, store_nothing).card
    card = quotes.issue_quote(desk.context, desk.client, card.id, card.version, (), store_nothing)
    return quotes.answer_quote(desk.context, desk.client, card.id, card.version, "accepted", store_nothing)


def test_stock_is_read_as_typed_and_from_a_spreadsheet_and_its_faults_by_line():
    assert stock_of("XB-40 12\n\nXC-2;3\nA b 7", b"part;count\r\nQ-1;5\r\n") == {
        "XB-40": 12,
        "XC-2": 3,
        "A b": 7,
        "Q-1": 5,
    }
    assert stock_of("", "Teil,Bestand\nä-1,2\n".encode("latin-1")) == {"ä-1": 2}
    with pytest.raises(Refused) as refused:
        stock_of("XB-40\nXB-41 -2\nXB-42 1.5\nXB-43 1\nXB-43 2", None)
    assert [fault.pointer for fault in refused.value.faults] == ["line 1", "line 2", "line 3", "line 5"]


def test_a_file_of_stock_or_offcuts_without_a_row_is_told_and_what_was_typed_stays(desk):
    """Else what is on hand would be forgotten without a word, and bought."""
    card = an_accepted_quote(desk, "ORD-0")
    typed = {"quote": [card.id], "stock": "XB-40 12", "do": "look"}
    row = {"offcuts/0/rail": "XR-typed", "offcuts/0/length": "3 m"}
    for content in (b"", b"\n", b"part;count\n", b"\xff\xfe\x00garbage\n;;;"):
        for name in ("stock_file", "offcuts_file"):
            sent = {**typed, **row, name: (io.BytesIO(content), "yard.csv")}
            page = desk.buyer.send("/orders", sent, on="/orders", content_type="multipart/form-data")
            assert page.status_code == 422 and "no row with a number in it" in page.text
            assert 'value="XR-typed"' in page.text and ">XB-40 12</textarea>" in page.text
    assert desk.buyer.send("/orders", {"quote": [card.id]}, on="/orders").status_code == 303


def test_accepted_quotes_are_ticked_with_stock_and_become_one_order(desk):
    first, second = an_accepted_quote(desk, "ORD-1"), an_accepted_quote(desk, "ORD-2")
    page = desk.buyer.get(f"/orders/new?quote={first.id}").text
    assert re.search(rf'value="{first.id}"[^>]* checked', page) and not re.search(
        rf'value="{second.id}"[^>]* checked', page
    )
    wrong = desk.buyer.send("/orders", {"quote": [first.id], "stock": "nonsense"}, on="/orders")
    assert wrong.status_code == 422 and "line 1" in wrong.text and "nonsense" in wrong.text
    nothing = desk.buyer.send("/orders", {"quote": []}, on="/orders")
    assert nothing.status_code == 422
    part = stored_parts(desk, first)[0]
    made = desk.buyer.send("/orders", {"quote": [first.id, second.id], "stock": f"{part} 1"}, on="/orders")
    assert made.status_code == 303, made.text
    order = desk.buyer.get(made.headers["Location"]).text
    assert "ORD" not in order or first.number in order
    assert "purchasing one" in order and f"{part}: 1" in order
    german = desk.person("purchasing", language="de").get(made.headers["Location"]).text
    assert "Mittelklemme" in german and "Mid clamp" not in german
    for name in ("csv", "xlsx"):
        paper = desk.buyer.get(f"{made.headers['Location']}/papers/{name}")
        assert paper.status_code == 200 and paper.headers["Content-Disposition"].startswith("attachment")
    supplier = re.search(r"/suppliers/([^/]+)/pdf", order)[1]
    assert desk.buyer.get(f"{made.headers['Location']}/suppliers/{supplier}/pdf").data.startswith(b"%PDF")
    assert desk.buyer.get(f"{made.headers['Location']}/suppliers/nobody/pdf").status_code == 404
    picked = re.search(r'/orders/[^"]+/deliveries/1/pick-list.pdf', order)[0]
    assert desk.buyer.get(picked).data.startswith(b"%PDF")
    assert desk.buyer.get(picked.replace("/1/", "/99/")).status_code == 404
    again = desk.buyer.send("/orders", {"quote": [first.id]}, on="/orders")
    assert again.status_code == 409
    assert "Nothing waits to be ordered" in desk.buyer.get("/orders").text
    assert ">ordered</a>" in desk.estimator.get(f"/quotes/{first.id}").text


def test_rails_of_many_jobs_are_cut_together_while_the_page_waits(desk):
    """What cannot be ordered is told at once; the rest is worked on, watched, and leads to the order by itself."""
    ids = [an_accepted_quote(desk, f"ORD-{number}").id for number in (5, 6)]
    sent = {"quote": ids, "cut_together": "yes"}
    begun = desk.buyer.send("/orders", sent, on="/orders").headers["Location"]
    page = desk.buyer.get(begun).text
    assert "<progress" in page and "watch.js" in page and "data-watch" in page
    assert desk.estimator.get(begun).status_code == 403
    assert "is done" not in page
    lease = take_operation(desk.context, operation_id=begun.rpartition("/")[2])
    with desk.context.writing() as session:
        hold_on(session, desk.context, lease, 1, 3)
    assert "1 of 3 rail profiles are done" in desk.buyer.get(begun).text
    assert "1 von 3 Schienenprofilen ist fertig" in desk.person("purchasing", language="de").get(begun).text
    put_back(desk.context, lease, at_once=True)
    other = desk.buyer.send("/orders", sent, on="/orders").headers["Location"]
    while work_once(desk.context):
        pass
    done = desk.buyer.get(begun)
    order = desk.buyer.get(done.headers["Location"]).text
    assert done.status_code == 303 and "purchasing one" in order
    beaten = desk.buyer.get(other)
    assert beaten.status_code == 200 and "Nothing was ordered" in beaten.text and "data-watch" not in beaten.text
    assert "ordered already" in beaten.text
    said = desk.person("purchasing", language="de").get(other).text
    assert "ein Angebot wird einmal bestellt; schon bestellt" in said and "ordered already" not in said
    assert desk.buyer.send("/orders", sent, on="/orders").status_code == 409


def test_off_cuts_on_hand_are_told_by_hand_and_by_file_looked_at_and_ordered(desk):
    """Without scripts: rows and a file, the effect before anything is ordered, then what became of them."""
    card = an_accepted_quote(desk, "ORD-7")
    whole = get_whole(desk.context, desk.client, card.id)
    rail = whole.offer.estimate.mounting.rail
    bar = max(stock.length_mm for stock in rail.stocks)
    rows = {
        "quote": [card.id], "cut_together": "yes", "do": "look",
        "offcuts/0/rail": rail.rail, "offcuts/0/length": f"{bar:g}", "offcuts/0/count": "2", "offcuts/0/price": "",
    }  # fmt: skip
    table = f"rail;length;counts for;how many\r\n{rail.rail};{bar - 500:g};1,00;1\r\n".encode()
    looked = desk.buyer.send("/orders", {**rows, "offcuts_file": (io.BytesIO(table), "yard.csv")}, on="/orders")
    assert looked.status_code == 200 and "Nothing is ordered yet" in looked.text
    assert f'name="offcuts/1/length" value="{bar - 500:g}"' in looked.text and 'name="offcuts/4/rail"' in looked.text
    assert f"{rail.rail}-offcut-{bar:g}" in looked.text and "sawn into" in looked.text
    wrong = desk.buyer.send("/orders", {**rows, "cut_together": "", "offcuts/0/rail": "GHOST"}, on="/orders")
    assert wrong.status_code == 422 and re.search(r'id="offcuts-0-rail-fault">[^<]*GHOST', wrong.text)
    assert "off-cuts on hand are cut where the rails of all quotes are cut together" in wrong.text
    unread = desk.buyer.send("/orders", {**rows, "offcuts/0/length": "long"}, on="/orders")
    assert unread.status_code == 422 and re.search(r'id="offcuts-0-length-fault">[^<]+<', unread.text)
    german = desk.person("purchasing", language="de").send("/orders", rows, on="/orders").text
    assert "Was bestellt würde" in german and "gesägt zu" in german and "sawn into" not in german
    assert [each.id for each in quote_lists.quotes_to_order(desk.context, desk.client)].count(card.id) == 1
    begun = desk.buyer.send("/orders", {**rows, "do": "order"}, on="/orders").headers["Location"]
    while work_once(desk.context):
        pass
    order = desk.buyer.get(desk.buyer.get(begun).headers["Location"]).text
    assert "Off-cuts from the yard" in order and f"{rail.rail}-offcut-{bar:g}" in order and "sawn into" in order


def test_a_later_revision_of_an_ordered_quote_is_ordered_as_a_change_supplier_by_supplier(desk):
    first = an_accepted_quote(desk, "ORD-3")
    ordered = desk.buyer.send("/orders", {"quote": [first.id]}, on="/orders").headers["Location"]
    smaller = plain_cells(a_posted_job("ORD-3"))
    smaller["roofs"][0]["arrays"][0] |= {"rows": 2, "omit": []}
    smaller["roofs"][0]["obstructions"] = []
    revised = quotes.revise_quote(desk.context, desk.client, first.id, pricing_of(smaller, {}), store_nothing).card
    draft = desk.estimator.get(f"/quotes/{revised.id}").text
    assert f'href="{ordered}"' in draft and "ordering it changes that order" in draft
    assert f'href="{ordered}"' not in desk.person("crm").get(f"/quotes/{revised.id}").text
    issued = quotes.issue_quote(desk.context, desk.client, revised.id, revised.version, (), store_nothing)
    quotes.answer_quote(desk.context, desk.client, issued.id, issued.version, "accepted", store_nothing)
    page = desk.buyer.get("/orders").text
    suppliers = re.findall(r'name="delivered" value="([^"]+)"', page)
    assert f'href="{ordered}"' in page and suppliers
    sent = {"quote": [revised.id], "delivered": suppliers[:1]}
    change = desk.buyer.send("/orders", sent, on="/orders").headers["Location"]
    told = desk.buyer.get(change).text
    assert f'href="{ordered}"' in told and ">returned<" in told
    assert (">less<" in told) == (len(suppliers) > 1)
    assert f'href="{change}"' in desk.buyer.get(ordered).text


def stored_parts(desk, card):

    return [line.line.part for line in get_whole(desk.context, desk.client, card.id).offer.estimate.bill.lines]


def test_who_only_reads_orders_cannot_make_one(desk):
    assert desk.estimator.send("/orders", {"quote": []}).status_code == 403
    assert desk.person("crm").get("/orders").status_code == 403


def a_new_edition(name, dearer=""):
    """The newest shipped metric edition under another name and days; ``dearer``: a part whose cost is tenfold."""
    folder = max((BOOKS / "hanse-eu").iterdir())
    files = {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}
    head = files["book.toml"].decode()
    head = re.sub(r"(?m)^edition = .*$", f'edition = "{name}"', head)
    head = re.sub(r"(?m)^valid_from = .*$", "valid_from = 2027-06-01", head)
    files["book.toml"] = re.sub(r"(?m)^valid_until = .*$", "valid_until = 2028-06-01", head).encode()
    if dearer:
        rows = list(csv.reader(io.StringIO(files["parts.csv"].decode("utf-8-sig")), delimiter=";"))
        cost = rows[0].index("cost")
        for row in rows[1:]:
            row[cost] = f"{float(row[cost]) * 10:.2f}" if row[0] == dearer else row[cost]
        out = io.StringIO()
        csv.writer(out, delimiter=";").writerows(rows)
        files["parts.csv"] = out.getvalue().encode()
    return files


def sent_files(files):
    return {"files": [(io.BytesIO(content), f"2027-06/{name}") for name, content in files.items()]}


def test_an_edition_is_put_in_as_a_folder_or_an_archive_and_faults_are_all_told(desk):
    page = desk.pricing.get("/pricebooks").text
    assert "hanse-eu" in page and "in force" in page
    broken = {**a_new_edition("2027-06"), "parts.csv": b"part\n1\n"}
    refused = desk.pricing.send("/pricebooks", sent_files(broken), on="/pricebooks", content_type="multipart/form-data")
    assert refused.status_code == 422 and "parts.csv" in refused.text
    made = desk.pricing.send(
        "/pricebooks", sent_files(a_new_edition("2027-06")), on="/pricebooks", content_type="multipart/form-data"
    )
    assert made.headers["Location"] == "/pricebooks/hanse-eu/2027-06", made.text
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        for name, content in a_new_edition("2027-06").items():
            archive.writestr(name, content)
    again = {"files": (io.BytesIO(stream.getvalue()), "edition.zip")}
    assert (
        desk.pricing.send("/pricebooks", again, on="/pricebooks", content_type="multipart/form-data").status_code == 303
    )
    assert desk.buyer.send("/pricebooks", {}).status_code == 403


def test_what_is_an_alarm_on_the_page_is_one_for_programs_and_at_the_command_line():
    query = EditionDifferencesQuerySchema().load({"with": "2026-11"})
    (option,) = (each for each in check_pricebook.params if each.name == "alarm")
    assert query["alarm"] == Decimal(option.default) == ALARM_SHARE


def test_what_an_edition_changes_is_told_in_the_readers_language(desk):
    """A part at ten times its cost: the alarm, the column and the share as German writes them."""
    files = a_new_edition("2027-07", dearer="HB-A48")
    files["book.toml"] = files["book.toml"].replace(b"2027-06-01", b"2027-07-01")
    files = sent_files(files)
    assert (
        desk.pricing.send("/pricebooks", files, on="/pricebooks", content_type="multipart/form-data").status_code == 303
    )
    page = desk.person("pricing", language="de").get("/pricebooks/hanse-eu/2027-07").text
    assert re.search(r"HB-A48</code>.*>Kosten<.*die Kosten steigen um 900,0\s%", page), page
    assert "rises" not in page


def test_nothing_chosen_is_no_edition(desk):
    refused = desk.pricing.send("/pricebooks", {}, on="/pricebooks", content_type="multipart/form-data")
    assert refused.status_code == 422 and "1 to 60" in refused.text


def test_an_edition_tells_what_it_changes_and_is_withdrawn_with_a_reason(desk):
    page = desk.pricing.get("/pricebooks/hanse-eu/2027-06").text
    assert "Differences" in page and "Withdraw" in page
    assert desk.pricing.send("/pricebooks/hanse-eu/2027-06/approve", {"reason": "x"}).status_code == 409
    assert "Differences" not in desk.person("crm").get("/pricebooks/hanse-eu/2027-06").text
    gone = desk.pricing.send("/pricebooks/hanse-eu/2027-06/withdraw", {"reason": "a mistake"})
    assert gone.status_code == 303
    assert "withdrawn" in desk.pricing.get("/pricebooks").text
    assert desk.pricing.get("/pricebooks/hanse-eu/none").status_code == 404


def test_a_price_list_that_nobody_told_the_columns_of_is_refused_and_what_was_typed_stays(desk):
    edition = max((BOOKS / "hanse-eu").iterdir()).name
    form = {"supplier": "nobody", "new_edition": "2027-09", "valid_from": "2027-09-01", "valid_until": "2027-12-31"}
    sent = {**form, "list": (io.BytesIO(b"a,b\n"), "list.csv")}
    page = desk.pricing.send(f"/pricebooks/hanse-eu/{edition}/price-list", sent, content_type="multipart/form-data")
    assert page.status_code == 422 and 'value="2027-09"' in page.text
