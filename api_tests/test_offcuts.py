"""Off-cuts in stock from earlier jobs, and bars limited in number, as a user brings them in over HTTP."""

from decimal import Decimal

import pytest

from api_tests.posted import on_rails

RAIL, LENGTH = "HB-PA38", 5850.0


def _offcut(**changes):
    return {"rail": RAIL, "length": LENGTH, "price": "5.00", "count": 2, **changes}


def _bars(estimate):
    return [(bar["part"], bar["count"], bar.get("price")) for bar in estimate["cut_plan"]["bars"]]


def _on_this_rail():
    job = on_rails()
    job["mounting"]["rail"] = RAIL
    return job


def test_off_cuts_are_used_at_their_own_price_and_no_more_than_there_are(estimator):
    """Four runs of 5,850 mm, a bar each; two off-cuts of that length at 5.00 take the place of two bars."""
    plain = estimator.estimate(_on_this_rail()).json()
    assert sum(count for _, count, _ in _bars(plain)) == 4
    answer = estimator.estimate(_on_this_rail(), offcuts=[_offcut()])
    assert answer.status_code == 200, answer.text
    estimate = answer.json()
    assert (f"{RAIL}-offcut-5850", 2, "5.00") in _bars(estimate)
    assert sum(count for _, count, _ in _bars(estimate)) == 4
    (line,) = [each for each in estimate["lines"] if "offcut" in each["part"]]
    assert (line["ordered"], Decimal(line["price"])) == (2, Decimal("10.00"))
    assert Decimal(estimate["totals"]["total"]) < Decimal(plain["totals"]["total"])


def test_two_heaps_of_one_length_keep_their_own_prices(estimator):
    heaps = [_offcut(count=1), _offcut(count=1, price="6.00")]
    found = [bar for bar in _bars(estimator.estimate(_on_this_rail(), offcuts=heaps).json()) if "offcut" in bar[0]]
    assert found == [(f"{RAIL}-offcut-5850", 1, "5.00"), (f"{RAIL}-offcut-5850-2", 1, "6.00")]


@pytest.mark.parametrize(
    ("changes", "pointer"),
    [
        ({"rail": "NO-RAIL"}, "/offcuts/0/rail"),
        ({"length": 0}, "/offcuts/0/length"),
        ({"price": "-1"}, "/offcuts/0/price"),
        ({"count": 0}, "/offcuts/0/count"),
    ],
)
def test_an_off_cut_that_cannot_be_is_refused_at_its_place(estimator, changes, pointer):
    answer = estimator.estimate(_on_this_rail(), offcuts=[_offcut(**changes)])
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["pointer"] == pointer


def test_an_order_takes_off_cuts_from_the_yard_and_tells_where_two_quotes_count_on_the_same(estimator, purchasing):
    one = estimator.accepted_quote(_on_this_rail(), offcuts=[_offcut()])
    order = purchasing.order(one["id"]).json()
    assert [(line["part"], line["ordered"]) for line in order["from_yard"]] == [(f"{RAIL}-offcut-5850", 2)]
    bought = {line["part"] for each in order["suppliers"] for line in each["lines"]}
    assert f"{RAIL}-offcut-5850" not in bought
    twice = [estimator.accepted_quote(_on_this_rail(), offcuts=[_offcut()])["id"] for _ in range(2)]
    apart = purchasing.order(*twice).json()
    assert "bars_promised_twice" in [check["code"] for check in apart["checks"]]
    pair = [estimator.accepted_quote(_on_this_rail(), offcuts=[_offcut()])["id"] for _ in range(2)]
    together = purchasing.order(*pair, cut_together=True).json()
    assert "bars_promised_twice" not in [check["code"] for check in together["checks"]]
    assert [(line["part"], line["ordered"]) for line in together["from_yard"]] == [(f"{RAIL}-offcut-5850", 2)]


def test_a_cut_list_takes_off_cuts_untrimmed_and_says_when_bars_on_hand_do_not_suffice(estimator):
    stocks = [{"length": 6000, "price": "60"}, {"length": 4000, "price": "1", "available": 1, "offcut": True}]
    answer = estimator.cut({"end_trim": 10, "stocks": stocks, "pieces": [{"length": 4000, "count": 2}]})
    assert (answer.json()["cost"], answer.json()["proven_optimal"]) == ("61.00", True)
    short = estimator.cut({"stocks": [{**stocks[0], "available": 1}], "pieces": [{"length": 3900, "count": 2}]})
    assert short.status_code == 422
    assert short.json()["errors"][0]["pointer"] == "/stocks"


def _rails(order):
    return {line["part"]: line["ordered"] for each in order["suppliers"] for line in each["lines"] if line["length"]}


def test_an_order_is_cut_from_off_cuts_on_hand_and_its_change_has_them_again(estimator, purchasing):
    """Two jobs of four runs of 5,850 mm, a bar each: eight bars; two off-cuts of that length leave six."""
    pair = [estimator.accepted_quote(_on_this_rail()) for _ in range(2)]
    ids = [quote["id"] for quote in pair]
    told = [{"rail": RAIL, "length": "5.85 m", "count": 3, "price": "1.00"}]
    apart = purchasing.order(*ids, offcuts=told)
    assert apart.status_code == 422
    assert [fault["pointer"] for fault in apart.json()["errors"]] == ["/offcuts"]
    wrong = purchasing.order(*ids, cut_together=True, offcuts=[{"rail": "GHOST", "length": 0}, *told, {"rail": RAIL}])
    assert [fault["pointer"] for fault in wrong.json()["errors"]] == ["/offcuts/0/length", "/offcuts/2/length"]
    ghost = purchasing.order(*ids, cut_together=True, offcuts=[{"rail": "GHOST", "length": 1000}], stock={"ghost": 1})
    assert [fault["pointer"] for fault in ghost.json()["errors"]] == ["/stock/ghost", "/offcuts/0/rail"]
    order = purchasing.order(*ids, cut_together=True, offcuts=[{**told[0], "count": 2}]).json()
    assert sum(_rails(order).values()) == 6
    part = f"{RAIL}-offcut-5850"
    [heap] = order["offcuts"]
    assert (heap["part"], heap["count"], heap["used"], heap["left"], heap["price"]) == (part, 2, 2, 0, "1.00")
    [line] = order["from_yard"]
    assert (line["part"], line["required"]) == (part, 2) and line["sawn"]
    [pick] = [pick for each in order["deliveries"] for pick in each["picks"] if pick["part"] == part]
    assert (pick["required"], pick["from_stock"], pick["sent"], pick["sawn"]) == (2, 2, 0, line["sawn"])
    saw = purchasing.get(order["links"]["saw_list_csv"]).text
    assert sum(part in row for row in saw.splitlines()) == 2
    drafted = estimator.revise(ids[0])
    issued = estimator.issue(drafted.json()["id"], drafted.headers["ETag"])
    revised = estimator.accept(drafted.json()["id"], issued.headers["ETag"]).json()
    change = purchasing.order(revised["id"]).json()
    assert _rails(change) == {}
    assert [(line["part"], line["required"]) for line in change["from_yard"]] == [(part, 2)]
    assert not [pick for each in change["deliveries"] for pick in each["picks"] if pick["part"] == part]
