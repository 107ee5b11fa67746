"""A client to copy: the one place that knows the service's addresses, and a job's whole way at the end.

    python api_tests/client.py http://127.0.0.1:8080 KEY job.json FOLDER

posts the job, has it quoted and issued, reads what happened, downloads the papers, accepts and orders. It needs nothing
but ``requests``. Tests of the service use the same class.
"""

import base64
import hashlib
import hmac
import json
import sys
import time
from pathlib import Path

import requests

JSON = "application/json"
TRIES = 6
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


class Client:
    """Calls the service with one key."""

    def __init__(self, base, key=None):
        self.base = base
        self.session = requests.Session()
        if key:
            self.session.headers["Authorization"] = f"Bearer {key}"

    def call(self, method, path, **more):
        return self.session.request(method, self.base + path, timeout=120, allow_redirects=False, **more)

    def get(self, path, accept=None, headers=None, **more):
        headers = {**(headers or {}), **({"Accept": accept} if accept else {})}
        return self.call("GET", path, headers=headers, **more)

    def post(self, path, document=None, once=None, etag=None, **more):
        headers = {**more.pop("headers", {})}
        if once:
            headers["Idempotency-Key"] = once
        if etag:
            headers["If-Match"] = etag
        if document is not None:
            more["json"] = document
        return self.call("POST", path, headers=headers, **more)

    def post_job(self, job, once=None):
        return self.post("/v1/jobs", job, once)

    def quote_job(self, job_id, once=None, **choices):
        return self.post(f"/v1/jobs/{job_id}/quotes", choices, once)

    def quote(self, quote_id, accept=None, **query):
        return self.get(f"/v1/quotes/{quote_id}", accept, params=query)

    def document(self, quote_id, name, **query):
        return self.get(f"/v1/quotes/{quote_id}/{name}", params=query)

    def issue(self, quote_id, etag=None, once=None, **body):
        return self.post(f"/v1/quotes/{quote_id}/issue", body or None, once, etag)

    def accept(self, quote_id, etag=None, once=None, **body):
        return self.post(f"/v1/quotes/{quote_id}/accept", body or None, once, etag)

    def order(self, *quote_ids, once=None, **more):
        return self.post("/v1/order-lists", {"quotes": list(quote_ids), **more}, once)

    def order_list(self, order_list_id, accept=None):
        return self.get(f"/v1/order-lists/{order_list_id}", accept)

    def events(self, where="/v1/events", **query):
        """A page of what happened; ``next`` in it is where to read on, now or tomorrow."""
        return self.get(where, params=query)


def patiently(call, *what, **more):
    """An answer that is good; whoever is told to come later (Retry-After) comes later with the same request."""
    for _ in range(TRIES):
        answer = call(*what, **more)
        if "Retry-After" not in answer.headers:
            break
        time.sleep(int(answer.headers["Retry-After"]))
    if not answer.ok:
        raise SystemExit(f"{answer.status_code}: {answer.text}")  # a problem (RFC 9457) tells every fault at once
    return answer


def finished(client, answer, seconds=600):
    """The answer, or what its operation made: long work is answered with 202 and where to look until it has ended."""
    for _ in range(seconds if answer.status_code == 202 else 0):
        operation = patiently(client.get, answer.headers["Location"]).json()
        if operation["state"] == "succeeded":
            return patiently(client.get, operation["links"]["result"])
        if operation["state"] in ("failed", "cancelled"):
            raise SystemExit(f"{operation['state']}: {operation['problem']}")
        time.sleep(1)
    return answer


def verified(secret, headers, body, minutes=5):
    """A webhook's message, if it was signed with the secret and just now (Standard Webhooks); else nothing."""
    signed = f"{headers['webhook-id']}.{headers['webhook-timestamp']}.".encode() + body
    key = base64.b64decode(secret.removeprefix("whsec_"))
    ours = "v1," + base64.b64encode(hmac.digest(key, signed, hashlib.sha256)).decode()
    fresh = abs(time.time() - int(headers["webhook-timestamp"])) < 60 * minutes
    good = any(hmac.compare_digest(ours, each) for each in headers["webhook-signature"].split())
    return json.loads(body) if fresh and good else None


def wait_for(client, kind, job_id, where="/v1/events?limit=200", seconds=60):
    """The first event of a kind about a job, by reading on; a webhook would tell it sooner."""
    for _ in range(seconds):
        page = patiently(client.events, where).json()
        found = [each for each in page["items"] if each["type"] == kind and each["data"].get("job") == job_id]
        if found:
            return found[0]
        where = page["next"]
        if not page["items"]:
            time.sleep(1)
    raise SystemExit(f"no {kind} within {seconds} s")


def whole_way(client, job, folder):
    """From a job to an order. With the same keys a run that fails half-way is run again, and makes nothing twice."""
    once = job["reference"]
    posted = patiently(client.post_job, job, f"{once}-job").json()
    quoted = finished(client, patiently(client.quote_job, posted["id"], f"{once}-quote"))
    quote_id = quoted.json()["id"]
    patiently(client.issue, quote_id, quoted.headers["ETag"], f"{once}-issue")
    told = wait_for(client, "quote.issued", posted["id"])
    for name in ("quote.pdf", "workbook.xlsx", "plan.svg"):
        (folder / name).write_bytes(finished(client, patiently(client.document, quote_id, name)).content)
    etag = patiently(client.quote, quote_id).headers["ETag"]
    patiently(client.accept, quote_id, etag, f"{once}-accept")
    order = finished(client, patiently(client.order, quote_id, once=f"{once}-order")).json()
    listed = finished(client, patiently(client.order_list, order["id"], "text/csv"))
    (folder / "order-list.csv").write_bytes(listed.content)
    return told["data"]["number"], order["number"]


if __name__ == "__main__":
    base, key, job_file, out = sys.argv[1:]
    print(*whole_way(Client(base, key), json.loads(Path(job_file).read_text(encoding="utf-8")), Path(out)))
