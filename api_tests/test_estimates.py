"""A job and choices in, the whole estimate out; nothing stored."""

from decimal import Decimal

import pytest

from api_tests.posted import a_job, changed, on_rails


def test_an_estimate_has_everything_that_was_promised(estimator):
    answer = estimator.estimate(on_rails())
    assert answer.status_code == 200, answer.text
    estimate = answer.json()
    assert {
        "counts", "roofs", "lines", "cut_plan", "clearance", "checks", "freight", "labour", "totals", "comparison",
        "cautions", "provenance",
    } <= set(estimate)  # fmt: skip
    counts = estimate["counts"]
    assert counts["modules"] == 10
    assert counts["runs"] == 4
    assert counts["mid_clamps"] == 2 * 2 * 4
    assert counts["end_clamps"] == 2 * 2 * 2
    assert counts["power"] == 4300
    assert sum(counts["bars"].values()) >= 1
    run = estimate["roofs"][0]["arrays"][0]["runs"][0]
    assert run["row"] == 1
    assert run["end"][0] - run["start"][0] == run["length"]
    assert run["attachments"] == sorted(run["attachments"])
    assert estimate["cautions"]
    assert len(estimate["provenance"]["sha256"]) == 64
    assert estimate["comparison"]["aluminium"]["mass"] > 0
    assert estimate["comparison"]["steel"]["mass"] > 0


def test_lines_add_up_to_the_totals(estimator):
    estimate = estimator.estimate(on_rails()).json()
    totals = {name: Decimal(value) for name, value in estimate["totals"].items() if name in MONEY}
    assert sum(Decimal(line["price"]) for line in estimate["lines"]) == totals["parts"]
    parts = totals["parts"] - totals["discount"]
    before_tax = parts + totals["freight"] + totals["labour"] + totals["contingency"]
    assert before_tax == totals["before_tax"]
    assert totals["before_tax"] + totals["tax"] == totals["total"]
    assert estimate["totals"]["currency"] == "EUR"


MONEY = {"parts", "discount", "freight", "labour", "contingency", "before_tax", "tax", "total"}


def test_every_line_says_why(estimator):
    for line in estimator.estimate(on_rails()).json()["lines"]:
        assert line["why"]
        assert line["ordered"] >= line["required"] >= line["net"]
        assert line["required"] == line["net"] + line["spare"]


def test_nothing_is_stored(estimator):
    job = a_job()
    estimator.estimate(job)
    assert estimator.jobs(reference=job["reference"]).json()["items"] == []


def test_the_same_request_gives_the_same_answer(estimator):
    job = on_rails()
    assert estimator.estimate(job).content == estimator.estimate(job).content


@pytest.mark.parametrize(
    ("pointer", "text", "number"),
    [
        ("/roofs/0/eave_length", "20 m", 20_000),
        ("/roofs/0/ribs/spacing", "12 in", 304.8),
        ("/module/mass", "50 lb", 50 * 0.45359237),
        ("/roofs/0/slope", "10 deg", 10),
    ],
)
def test_a_text_with_a_unit_says_the_same_as_the_number(estimator, pointer, text, number):
    """Factors: NIST SP 811."""
    reference = a_job()["reference"]
    one = estimator.estimate(changed(pointer, text, a_job(reference))).json()
    other = estimator.estimate(changed(pointer, number, a_job(reference))).json()
    assert one["counts"] == other["counts"]
    assert one["totals"] == other["totals"]
    assert one["provenance"]["input_sha256"] == other["provenance"]["input_sha256"]


def test_a_gauge_is_the_sheets_thickness(estimator):
    """Manufacturers' Standard Gauge: 26 gauge steel is 0.4555 mm uncoated."""
    thin = estimator.estimate(changed("/roofs/0/sheet/thickness", "26 ga"))
    assert thin.status_code in {200, 422}
    copper = estimator.estimate(changed("/roofs/0/sheet", {"material": "aluminium", "thickness": "26 ga"}))
    assert copper.status_code == 422
    assert copper.json()["errors"][0]["pointer"] == "/job/roofs/0/sheet/thickness"


def test_drawn_cells_and_pairs_say_the_same(estimator):
    reference = a_job()["reference"]
    array = a_job()["roofs"][0]["arrays"][0]
    pairs = {**array, "omit": [[2, 3], [1, 1]]}
    drawn = {name: value for name, value in array.items() if name not in {"rows", "columns"}}
    drawn["cells"] = ["##.##", ".####"]
    answers = [
        estimator.estimate(changed("/roofs/0/arrays", [each], a_job(reference))).json() for each in (pairs, drawn)
    ]
    assert answers[0]["counts"] == answers[1]["counts"]
    assert answers[0]["counts"]["modules"] == 8


def test_people_read_their_own_units(estimator):
    us = estimator.estimate(a_job(display_units="us")).json()
    assert us["freight"]["display"]["mass"].endswith(" lb")
    assert estimator.estimate(a_job()).json()["freight"]["display"]["mass"].endswith(" kg")


def test_people_may_read_both_systems_the_sites_own_first(estimator):
    """Common practice, no source: US units first on a site in the United States."""
    job = a_job(display_units="both")
    job["site"] = {**job.get("site", {}), "address": {"lines": ["1 Elm St"], "city": "Stowe", "country": "US"}}
    for country, us_first in (("US", True), ("CA", False)):
        answer = estimator.estimate(changed("/site/address/country", country, job)).json()
        mass = answer["freight"]["mass"]
        kg, lb = f"{text_of(mass)} kg", f"{text_of(mass / 0.45359237)} lb"
        assert answer["display_units"] == "both"
        assert answer["freight"]["display"]["mass"] == (f"{lb} ({kg})" if us_first else f"{kg} ({lb})")


def text_of(number):
    """A number to two places without needless zeros."""
    return f"{number:.2f}".rstrip("0").rstrip(".")


def test_choices_win_over_the_job(estimator):
    estimate = estimator.estimate(a_job(), arrangement="rail_on_side", material="steel", priced_on="2026-11-25").json()
    assert estimate["mounting"]["arrangement"] == "rail_on_side"
    assert estimate["mounting"]["material"] == "steel"
    assert estimate["provenance"]["priced_on"] == "2026-11-25"
    assert all(choice["given"] for choice in estimate["choices"] if choice["subject"] in {"arrangement", "material"})


def test_a_job_with_failed_checks_still_gets_its_answer(estimator):
    job = changed("/roofs/0/arrays/0/x", -500)
    answer = estimator.estimate(job)
    assert answer.status_code == 200
    assert not answer.json()["can_be_issued"]
    assert any(check["severity"] == "error" for check in answer.json()["checks"])


def test_a_pricebook_that_is_not_there_is_named(estimator):
    answer = estimator.estimate(a_job(), pricebook="nobodys-book")
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["pointer"] == "/pricebook"


def test_a_day_no_edition_covers_is_refused(estimator):
    answer = estimator.estimate(a_job(), priced_on="1999-01-01")
    assert answer.status_code == 422
