"""Quotes of two sites ordered together: each site has its delivery, pick list and packing list."""

import copy

from api_tests.posted import a_job, in_days

EARLY, LATE = in_days(150), in_days(180)


def a_job_at(city, needed_on):
    job = copy.deepcopy(a_job())
    job["site"]["address"].update(city=city)
    job["site"]["needed_on"] = needed_on
    return job


def test_an_order_of_two_sites_is_delivered_site_by_site(estimator, purchasing):
    late = estimator.accepted_quote(a_job_at("Eutin", LATE))
    early = estimator.accepted_quote(a_job_at("Husum", EARLY))
    ordered = purchasing.order(late["id"], early["id"])
    assert ordered.status_code == 201, ordered.text
    first, second = ordered.json()["deliveries"]
    assert (first["needed_on"], second["needed_on"]) == (EARLY, LATE)
    assert (first["quotes"], second["quotes"]) == ([early["number"]], [late["number"]])
    lines = {line["part"]: line for each in ordered.json()["suppliers"] for line in each["lines"]}
    for part, line in lines.items():
        picks = [pick for each in (first, second) for pick in each["picks"] if pick["part"] == part]
        assert sum(pick["sent"] for pick in picks) == line["ordered"]
        assert sum(pick["required"] for pick in picks) == line["required"]
    for delivery in (first, second):
        for link in delivery["links"].values():
            paper = purchasing.get(link)
            assert paper.status_code == 200, link
            assert paper.content[:4] in (b"%PDF", b"PK\x03\x04")
    missing = purchasing.get(f"/v1/order-lists/{ordered.json()['id']}/deliveries/3/pick-list.pdf")
    assert missing.status_code == 404
