"""A house with rows in every table, and its ids by the names that addresses use.

Everything is made as clients make it; only people, who come in by the command line and the pages, are put in by the
functions that these call.
"""

from sqlalchemy import func, select

from api_tests.posted import a_job
from estimator.service import editions as editions_in_force
from estimator.service.outbox import deliveries
from estimator.service.outbox.outbound import SendingOutcome
from estimator.service.outbox.sealed_secrets import check_key
from estimator.service.people import accounts, sessions
from estimator.service.people.accounts import Newcomer
from estimator.service.pricebooks import packed
from estimator.service.quoting.papers.issued import keep_next_papers
from estimator.storage import tables
from estimator.storage.books import files_of_folder
from estimator.tasks.work import work_once
from tests.storage.books.book_files import EU

CHOICES = {"pricebook": "hanse-eu", "priced_on": "2026-11-30", "validity_days": 3650, "margin": "0.31"}
COLUMNS = {"part": "Article", "cost": "Net"}
PASSWORD = "a long sentence that nobody guesses"


def fill(context, http, key):
    """Make one of everything; the known values of each name in an address."""
    call = _Caller(http, key)
    webhook = call.post("/v1/webhooks", {"url": "https://hooks.example.org/estimator", "kinds": ["job.posted"]})["id"]
    editions = _editions(call)
    jobs, quotes = _quotes(call)
    order = call.post("/v1/order-lists", {"quotes": [quotes["accepted"]]})
    suppliers = [each["supplier"] for each in order["suppliers"]]
    repricing = call.post("/v1/repricings", {"pricebook": "hanse-eu", "edition": editions[-1]})
    call.post(f"/v1/jobs/{jobs[0]}/quotes", CHOICES, Prefer="respond-async")
    call.post("/v1/cut-plans", CUTS, Prefer="respond-async")
    while work_once(context):
        pass
    call.post("/v1/cut-plans", CUTS, Prefer="respond-async")
    keep_next_papers(context)
    editions_in_force.tell_in_force(context)
    deliveries.deliver_next(context, _refusing)
    repriced = call.get(f"/v1/operations/{repricing['id']}")
    operations = [each["id"] for each in call.get("/v1/operations")["items"]]
    sent = call.get(f"/v1/webhooks/{webhook}/deliveries")["items"]
    other = call.post("/v1/keys", {"name": "another", "role": "crm"})
    call.post("/v1/suppliers/zwirnfels/price-list-columns", COLUMNS)
    _people(context)
    check_key(context)
    return {
        "job_id": jobs,
        "quote_id": list(quotes.values()),
        "order_list_id": [order["id"]],
        "supplier": ["zwirnfels", *suppliers],
        "number": ["1"],
        "pricebook": ["hanse-eu"],
        "edition": editions,
        "operation_id": operations,
        "repricing_id": [repriced["links"]["result"].rpartition("/")[2]],
        "key_id": [other["id"]],
        "webhook_id": [webhook],
        "delivery_id": [each["id"] for each in sent],
    }


def empty_tables(context):
    """The tables without a row."""
    with context.reading() as session:
        counts = {
            name: session.scalar(select(func.count()).select_from(table))
            for name, table in tables.Base.metadata.tables.items()
        }
    return {name for name, count in counts.items() if not count}


CUTS = {
    "unit": "mm",
    "kerf": 3,
    "stocks": [{"length": 6_000, "price": "21.50", "available": None}],
    "pieces": [{"length": 1_450, "count": 8}],
}


class _Caller:
    """Calls with one key, and expects success."""

    def __init__(self, http, key):
        self.http, self.key = http, key

    def call(self, method, path, key=None, **more):
        headers = {"Authorization": f"Bearer {key or self.key}", **more.pop("headers", {})}
        answer = self.http.open(path, method=method, headers=headers, **more)
        assert answer.status_code < 300, (path, answer.status_code, answer.text)
        return answer

    def post(self, path, document=None, key=None, **headers):
        return self.call("POST", path, key, json=document or {}, headers=headers).get_json()

    def get(self, path):
        return self.call("GET", path).get_json()

    def step(self, quote, step, document=None):
        """One step in the life of a quote, from the version it has."""
        version = self.call("GET", f"/v1/quotes/{quote}").headers["ETag"]
        self.call("POST", f"/v1/quotes/{quote}/{step}", json=document or {}, headers={"If-Match": version})


def _editions(call):
    """The shared edition, and two that were put in: a list's (in force later), and a copy (withdrawn)."""
    files = files_of_folder(EU)
    for at, name in enumerate(("2027-07", "2027-08")):
        head = files["book.toml"].decode().replace('edition = "2026-12"', f'edition = "{name}"')
        head = head.replace("valid_from = 2026-11-24", f"valid_from = 2026-11-{25 + at}")
        content = packed({**files, "book.toml": head.encode()})
        call.call("POST", "/v1/pricebooks", data=content, headers={"Content-Type": "application/zip"})
    call.post("/v1/pricebooks/hanse-eu/editions/2027-08/withdraw", {"reason": "an example"})
    return ["2026-12", "2027-08", "2027-07"]


def _quotes(call):
    """Two jobs with quotes in every state, one of which needed approval."""
    policy = {"limits": {"estimator": {"most_discount": "0.1"}}}
    call.call("PATCH", "/v1/policy", json=policy, headers={"If-Match": '"v1"'})
    other = call.post("/v1/keys", {"name": "estimator", "role": "estimator"})["key"]
    jobs = [call.post("/v1/jobs", a_job(), **{"Idempotency-Key": f"job-{at}"})["id"] for at in range(2)]

    def draft(job=jobs[0], key=None, **choices):
        return call.post(f"/v1/jobs/{job}/quotes", {**CHOICES, **choices}, key)["id"]

    quotes = {"draft": draft(), "waiting": draft(jobs[1], other, discount="0.15")}
    call.step(quotes["waiting"], "approve", {"reason": "customer of many years"})
    for state, step in (("issued", None), ("accepted", "accept"), ("declined", "decline")):
        quotes[state] = draft(jobs[state == "accepted"])
        call.step(quotes[state], "issue")
        if step is not None:
            call.step(quotes[state], step)
    quotes["revision"] = call.post(f"/v1/quotes/{quotes['issued']}/revise", CHOICES)["id"]
    return jobs, quotes


def _people(context):
    """Somebody who is signed in, somebody who failed to, and somebody on the way to the provider."""
    token, person = accounts.invite(context, "house", Newcomer("ann@example.org", "Ann", "estimator", "en", "metric"))
    accounts.take_invitation(context, token, PASSWORD)
    sessions.open_session(context, person)
    sessions.begin_attempt_from(context, "192.0.2.1")
    with context.writing() as session:
        visit = tables.ProviderVisitRow(digest="0" * 64, visitor="", nonce="", verifier="", onward="/")
        visit.started_at = context.clock()
        session.add(visit)


def _refusing(_url, _headers, _body):
    """A webhook that answers 500."""
    return SendingOutcome(5, status=500)
