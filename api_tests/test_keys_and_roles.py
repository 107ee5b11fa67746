"""Who may do what: every route asks for a key and a scope, and no house sees another's rows."""

import io
import re
import zipfile

import pytest

from api_tests.client import XLSX
from api_tests.posted import a_job, on_rails

UNKNOWN = "01a212e1-1998-758d-86f9-879fdfdc62f7"
SECRET_NAMES = {"cost", "costs", "margin", "margin_rate", "unit_cost", "lower_bound", "pricing_rate", "pricing_method"}


@pytest.fixture(scope="module")
def made(estimator, purchasing):
    """One thing of each kind, of the first house."""
    quote = estimator.accepted_quote(on_rails(), margin="0.31")
    order = purchasing.order(quote["id"]).json()
    return {"job_id": quote["job"], "quote_id": quote["id"], "order_list_id": order["id"], "supplier": "kraehwinkel"}


BODIES = {"approve": b'{"reason": "x"}'}
"""What a route needs before it looks for the thing."""


def routes(client):
    """Method and path of every operation described."""
    return [
        (method.upper(), path, operation)
        for path, methods in client.description()["paths"].items()
        for method, operation in methods.items()
    ]


def filled(path, made):
    values = {**made, "pricebook": "hanse-eu", "edition": "2026-12"}
    return re.sub(r"\{(\w+)\}", lambda match: values.get(match[1], UNKNOWN), path)


def test_every_route_asks_for_a_key(nobody, made):
    for method, path, _ in routes(nobody):
        answer = nobody.call(method, filled(path, made))
        assert answer.status_code == 401, (method, path)
        assert answer.headers["Content-Type"] == "application/problem+json"
        assert answer.headers["WWW-Authenticate"].startswith("Bearer")


@pytest.mark.parametrize("key", ["", "x", "est_0000000000_" + "A" * 43 + "00000000", "ünïcode", "est_' OR 1=1 --"])
def test_a_made_up_key_opens_nothing(nobody, key):
    answer = nobody.get("/v1/jobs", headers={"Authorization": f"Bearer {key}".encode()})
    assert answer.status_code == 401


def test_no_route_shows_or_changes_anything_of_another_house(clients, made):
    stranger = clients["stranger"]
    walked = 0
    for method, path, operation in routes(stranger):
        if not re.search(r"\{(job_id|quote_id|order_list_id)\}", path):
            continue
        media = next(iter(operation.get("requestBody", {}).get("content", {"application/json": None})))
        body = BODIES.get(path.rpartition("/")[2], b"{}") if "json" in media else b"PK"
        headers = {"Content-Type": media, "If-Match": '"v1"'}
        query = {"with": made["quote_id"]} if path.endswith("/differences") else {}
        answer = stranger.call(method, filled(path, made), headers=headers, data=body, params=query)
        assert answer.status_code == 404, (method, path, answer.status_code, answer.text[:200])
        walked += 1
    assert walked >= 15


def test_lists_hold_only_the_houses_own_rows(clients, made):
    stranger = clients["stranger"]
    for path in ("/v1/jobs", "/v1/quotes", "/v1/order-lists"):
        assert stranger.get(path).json()["items"] == []
    assert stranger.order(made["quote_id"]).status_code == 422


def test_a_reference_of_one_house_is_free_in_another(clients, estimator):
    job = a_job()
    assert estimator.post_job(job).status_code == 201
    assert clients["stranger"].post_job(job).status_code == 201


@pytest.mark.parametrize(
    ("role", "method", "path"),
    [
        ("crm", "POST", "/v1/jobs/{job_id}/quotes"),
        ("crm", "POST", "/v1/quotes/{quote_id}/issue"),
        ("crm", "POST", "/v1/quotes/{quote_id}/accept"),
        ("crm", "POST", "/v1/quotes/{quote_id}/revise"),
        ("crm", "POST", "/v1/order-lists"),
        ("crm", "GET", "/v1/order-lists/{order_list_id}"),
        ("crm", "POST", "/v1/pricebooks"),
        ("purchasing", "POST", "/v1/jobs"),
        ("purchasing", "POST", "/v1/quotes/{quote_id}/issue"),
        ("estimator", "POST", "/v1/order-lists"),
        ("estimator", "POST", "/v1/pricebooks"),
        ("pricing", "POST", "/v1/quotes/{quote_id}/issue"),
    ],
)
def test_a_role_is_refused_what_it_may_not_do(clients, made, role, method, path):
    answer = clients[role].call(method, filled(path, made), json={})
    assert answer.status_code == 403
    assert answer.json()["type"] == "/problems/not-allowed"


def keys_of(document):
    """Every name in a document, however deep."""
    if isinstance(document, dict):
        for name, value in document.items():
            yield name
            yield from keys_of(value)
    elif isinstance(document, list):
        for value in document:
            yield from keys_of(value)


def test_the_crm_never_sees_cost_or_margin(crm, estimator, made):
    seen = [crm.estimate(on_rails()).json()]
    for method, path, _ in routes(crm):
        if method != "GET":
            continue
        query = {"with": made["quote_id"]} if path.endswith("/differences") else {}
        answer = crm.get(filled(path, made), params=query)
        assert answer.status_code in {200, 403, 404}, (path, answer.text)
        if answer.status_code == 200 and answer.headers["Content-Type"] == "application/json":
            seen.append(answer.json())
    assert len(seen) > 6
    for document in seen:
        assert SECRET_NAMES.isdisjoint(keys_of(document)), SECRET_NAMES & set(keys_of(document))
    whole = estimator.quote(made["quote_id"]).json()
    assert {"cost", "margin", "unit_cost"} <= set(keys_of(whole))


def test_the_crm_cannot_find_the_cost_by_choosing_the_margin(crm):
    for choice in ({"margin": "0"}, {"discount": "0.5"}, {"contingency": "1"}, {"line_discounts": {"X": "0.1"}}):
        assert crm.estimate(a_job(), **choice).status_code == 403
    assert crm.estimate(a_job(), material="steel").status_code == 200


def test_no_figure_of_the_houses_stands_in_the_customers_workbook(crm, estimator, made):
    """The unit costs of this quote, as texts, are nowhere in the file a CRM key gets, hidden sheets included."""
    whole = estimator.quote(made["quote_id"]).json()
    margin = whole["estimate"]["totals"]["margin"]
    content = crm.quote(made["quote_id"], accept=XLSX).content
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        texts = b"".join(archive.read(name) for name in archive.namelist()).decode("utf-8", "ignore")
    assert f">{margin}<" not in texts
    assert not re.search(r"\b[Mm]argin\b", texts)
