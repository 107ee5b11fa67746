"""Re-pricing over the API: a report that changes nothing, and drafts that cost what it says, each made once."""

import io
from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal

import pandas as pd
import pytest

from api_tests.posted import a_job, on_rails
from estimator.comparison.repricing import CAUSES
from estimator.service.operations import take_operation
from estimator.service.quoting.repricing import repricings
from estimator.service.quoting.repricing.repricings import RepricedQuote, StoredRepricing
from estimator.service.quoting.repricing.tables import workbook_of
from estimator.tasks.work import work_once
from tests.outside.spreadsheets import by_libreoffice
from tests.tasks.test_work import CHOICES, House

EDITION = {"pricebook": "hanse-eu", "edition": "later", "priced_on": "2026-11-25"}


class Later:
    """The catalogue with one more edition, in which everything costs a tenth more."""

    def __init__(self, catalogue):
        self.catalogue = catalogue

    def get(self, organisation, pricebook, edition):
        if edition != "later":
            return self.catalogue.get(organisation, pricebook, edition)
        book = next(each for each in self.books(organisation) if each.id == pricebook)
        parts = {name: replace(part, cost=part.cost * Decimal("1.1"), breaks=()) for name, part in book.parts.items()}
        return replace(book, edition="later", sha256="1" * 64, parts=parts)

    def __getattr__(self, name):
        return getattr(self.catalogue, name)


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    made = House(tmp_path_factory.mktemp("repricing"))
    object.__setattr__(made.context, "catalogue", Later(made.context.catalogue))
    for at in range(3):
        job = made.post("/v1/jobs", on_rails() if at == 0 else a_job()).get_json()["id"]
        made.post(f"/v1/jobs/{job}/quotes", {**CHOICES, "validity_days": 3650})
    yield made
    made.context.engine.dispose()


def reported(house, **more):
    operation = house.worked(house.post("/v1/repricings", {**EDITION, **more}))
    assert operation["state"] == "succeeded", operation
    return operation, house.get(operation["links"]["result"]).get_json()


def test_a_report_tells_every_open_quote_and_changes_none(house):
    before = house.get("/v1/quotes").get_json()
    operation, report = reported(house)
    assert house.get("/v1/quotes").get_json() == before
    assert operation["progress"] == {"done": 3, "total": 3}
    assert [each["number"] for each in report["quotes"]] == sorted(each["number"] for each in before["items"])
    for each in report["quotes"]:
        assert Decimal(each["new_total"]) > Decimal(each["old_total"])
        assert Decimal(each["difference"]) == sum(map(Decimal, each["causes"].values()))
        assert Decimal(each["margin_at_risk"]) > 0
    sums = report["sums"]["EUR"]
    for name in ("old_total", "new_total", "difference", "margin_at_risk"):
        assert Decimal(sums[name]) == sum(Decimal(each[name]) for each in report["quotes"])


def test_the_workbook_says_what_the_report_says(house):
    """Outside reference: pandas, which reads the sheet."""
    _, report = reported(house)
    content = house.get(report["links"]["workbook"]).data
    rows = pd.read_excel(io.BytesIO(content), sheet_name="Quotes", header=3)
    assert list(rows["number"]) == [each["number"] for each in report["quotes"]]
    sums = pd.read_excel(io.BytesIO(content), sheet_name="Sums", header=3).iloc[0]
    assert (sums["currency"], sums["priced quotes"]) == ("EUR", len(report["quotes"]))
    for name in ("old total", "new total", "difference", "margin at risk", "prices", "freight", "tax"):
        assert f"{sums[name]:.2f}" == report["sums"]["EUR"][name.replace(" ", "_")]
    assert [f"{each:.2f}" for each in rows["new total"]] == [each["new_total"] for each in report["quotes"]]


def test_the_workbooks_formulas_come_to_what_stands_behind_them(tmp_path):
    """Outside reference: LibreOffice calculates every sum anew; quotes in two currencies, one without a price."""
    one = RepricedQuote(
        "x", "Q-1", 1, "issued", "kept", "EUR", Decimal("100.00"), Decimal("110.50"), Decimal("70.00"),
        Decimal("75.00"), tuple((name, Decimal("1.31")) for name in CAUSES), None, None,
    )  # fmt: skip
    unpriced = replace(one, number="Q-2", new_total=None, new_cost=None, causes=(), problem="=no part in the edition")
    quotes = (one, unpriced, replace(one, number="Q-3", currency="USD"), replace(one, number="Q-4", revision=2))
    report = StoredRepricing("r", "o", "house", "2026-12", date(2026, 12, 1), "Ann", datetime.now(UTC), quotes)
    content = workbook_of(report)
    assert workbook_of(report) == content
    for book in (content, *by_libreoffice([content], tmp_path)):
        sums = pd.read_excel(io.BytesIO(book), sheet_name="Sums", header=3).set_index("currency")
        assert dict(sums["priced quotes"]) == {"EUR": 2, "USD": 1}
        assert dict(sums["old total"]) == {"EUR": 200.0, "USD": 100.0}
        assert dict(sums["tax"]) == {"EUR": pytest.approx(2.62), "USD": pytest.approx(1.31)}
        rows = pd.read_excel(io.BytesIO(book), sheet_name="Quotes", header=3)
        assert list(rows["problem"].dropna()) == ["=no part in the edition"]


def test_drafts_of_those_chosen_cost_what_the_report_says_and_are_made_once(house):
    _, report = reported(house, quotes=[each["id"] for each in house.get("/v1/quotes").get_json()["items"][:2]])
    chosen = [each["quote"] for each in report["quotes"]]
    assert len(chosen) == 2
    for _ in range(2):
        house.worked(house.post(f"{report['links']['self']}/apply", {"quotes": chosen}))
    after = house.get(report["links"]["self"]).get_json()
    for each in after["quotes"]:
        draft = house.get(f"/v1/quotes/{each['draft']}").get_json()
        assert (draft["state"], draft["revision"], draft["revises"]) == ("draft", 2, each["quote"])
        assert draft["total"] == each["new_total"]
        assert draft["edition"] == "later"
    numbers = [each["number"] for each in house.get("/v1/quotes").get_json()["items"]]
    assert len(numbers) == 5


def test_work_goes_on_where_a_lost_worker_left_it(house, monkeypatch):
    monkeypatch.setattr(repricings, "PART", 1)
    started = house.post("/v1/repricings", EDITION)
    calls = []

    def breaks_after_two(function, *arguments, **more):
        calls.append(function)
        if len(calls) > 2:
            raise SystemExit  # as when the process ends
        return function(*arguments, tell=lambda *_: None)

    with pytest.raises(SystemExit):
        work_once(replace(house.context, calculate=breaks_after_two))
    half = house.get(started.headers["Location"]).get_json()
    assert half["state"] == "running"
    assert half["progress"]["done"] == 2
    assert take_operation(house.context) is None  # until the lease runs out
    with house.context.writing() as session:
        session.execute(
            repricings.tables.OperationRow.__table__.update().values(claimed_until=house.context.clock().replace(2020))
        )
    assert work_once(house.context)
    done = house.get(started.headers["Location"]).get_json()
    assert done["state"] == "succeeded"
    report = house.get(done["links"]["result"]).get_json()
    assert len(report["quotes"]) == done["progress"]["total"]


def test_an_edition_not_in_force_and_a_foreign_quote_are_refused(house):
    assert house.post("/v1/repricings", {**EDITION, "priced_on": "2036-01-01"}).status_code == 422
    assert house.post("/v1/repricings", {**EDITION, "edition": "never"}).status_code == 422
    assert (
        house.post("/v1/repricings", {**EDITION, "quotes": ["0" * 8 + "-0000-7000-8000-" + "0" * 12]}).status_code
        == 422
    )
    _, report = reported(house)
    stranger = {"quotes": ["0" * 8 + "-0000-7000-8000-" + "0" * 12]}
    assert house.post(f"{report['links']['self']}/apply", stranger).status_code == 404
