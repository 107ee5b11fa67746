"""Every address that tests call beside those of the client to copy."""

from api_tests.client import XLSX, Client


class AllCalls(Client):
    """The client to copy, with what a CRM seldom needs."""

    def job(self, job_id):
        return self.get(f"/v1/jobs/{job_id}")

    def quotes(self, **query):
        return self.get("/v1/quotes", params=query)

    def estimate(self, job, **choices):
        return self.post("/v1/estimates", {"job": job, **choices})

    def change_job(self, job_id, change, etag=None):
        headers = {"Content-Type": "application/merge-patch+json", **({"If-Match": etag} if etag else {})}
        return self.call("PATCH", f"/v1/jobs/{job_id}", json=change, headers=headers)

    def jobs(self, **query):
        return self.get("/v1/jobs", params=query)

    def decline(self, quote_id, etag=None):
        return self.post(f"/v1/quotes/{quote_id}/decline", etag=etag)

    def revise(self, quote_id, **change):
        return self.post(f"/v1/quotes/{quote_id}/revise", change)

    def comparison(self, quote_id):
        return self.get(f"/v1/quotes/{quote_id}/comparison")

    def differences(self, quote_id, other):
        return self.get(f"/v1/quotes/{quote_id}/differences", params={"with": other})

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

    def post_webhook(self, url, kinds=None, once=None):
        return self.post("/v1/webhooks", {"url": url, "kinds": kinds}, once)
