"""The one place that knows the service's addresses."""

import requests

JSON = "application/json"
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

    def estimate(self, job, **choices):
        return self.post("/v1/estimates", {"job": job, **choices})

    def post_job(self, job, once=None):
        return self.post("/v1/jobs", job, once)

    def job(self, job_id):
        return self.get(f"/v1/jobs/{job_id}")

    def jobs(self, **query):
        return self.get("/v1/jobs", params=query)

    def change_job(self, job_id, change, etag=None):
        headers = {"Content-Type": "application/merge-patch+json", **({"If-Match": etag} if etag else {})}
        return self.call("PATCH", f"/v1/jobs/{job_id}", json=change, headers=headers)

    def quote_job(self, job_id, once=None, **choices):
        return self.post(f"/v1/jobs/{job_id}/quotes", choices, once)

    def quote(self, quote_id, accept=None, **query):
        return self.get(f"/v1/quotes/{quote_id}", accept, params=query)

    def quotes(self, **query):
        return self.get("/v1/quotes", params=query)

    def document(self, quote_id, name, **query):
        return self.get(f"/v1/quotes/{quote_id}/{name}", params=query)

    def issue(self, quote_id, etag=None, **body):
        return self.post(f"/v1/quotes/{quote_id}/issue", body or None, etag=etag)

    def accept(self, quote_id, etag=None):
        return self.post(f"/v1/quotes/{quote_id}/accept", etag=etag)

    def decline(self, quote_id, etag=None):
        return self.post(f"/v1/quotes/{quote_id}/decline", etag=etag)

    def revise(self, quote_id, **change):
        return self.post(f"/v1/quotes/{quote_id}/revise", change)

    def comparison(self, quote_id):
        return self.get(f"/v1/quotes/{quote_id}/comparison")

    def differences(self, quote_id, other):
        return self.get(f"/v1/quotes/{quote_id}/differences", params={"with": other})

    def order(self, *quote_ids, once=None, **more):
        return self.post("/v1/order-lists", {"quotes": list(quote_ids), **more}, once)

    def order_list(self, order_list_id, accept=None):
        return self.get(f"/v1/order-lists/{order_list_id}", accept)

    def cut(self, cut_list):
        return self.post("/v1/cut-plans", cut_list)

    def pricebooks(self):
        return self.get("/v1/pricebooks")

    def upload(self, archive, once=None):
        return self.post("/v1/pricebooks", once=once, data=archive, headers={"Content-Type": "application/zip"})

    def description(self):
        return self.get("/openapi.json").json()

    def accepted_quote(self, job, **choices):
        """A job posted, quoted, issued and accepted: the accepted quote's card."""
        quote = self.quote_job(self.post_job(job).json()["id"], **choices)
        issued = self.issue(quote.json()["id"], quote.headers["ETag"])
        assert issued.status_code == 200, issued.text
        accepted = self.accept(quote.json()["id"], issued.headers["ETag"])
        assert accepted.status_code == 200, accepted.text
        return accepted.json()

    def send_workbook(self, quote_id, content, once=None, **query):
        headers = {"Content-Type": XLSX}
        return self.post(f"/v1/quotes/{quote_id}/workbook", once=once, headers=headers, data=content, params=query)
