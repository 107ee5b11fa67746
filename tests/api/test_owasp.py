"""The ten risks of the OWASP API Security Top 10 (2023), each as an attack that fails, and succeeds without its guard.

Source: OWASP API Security Top 10, edition 2023 (owasp.org, API1:2023 to API10:2023). An attack is tried on the service
as it stands and must come to nothing; then the guard is taken out and the same attack must succeed, so that a test
whose attack has gone blunt fails too. ``api_tests`` walk every route besides.
"""

import http.server
import threading
import zlib
from ipaddress import ip_network

import pytest

from api_tests.posted import a_job
from estimator.api import gateway, rate_limits, request
from estimator.api.monitoring import trace
from estimator.service import jobs
from estimator.service.access import approvals, keys
from estimator.service.access.keys import OF_PREFIX
from estimator.service.outbox import outbound
from estimator.service.outbox.outbound import send
from estimator.storage.tables import JobRow
from tests.api.house import House

CHOICES = {"pricebook": "hanse-eu", "priced_on": "2026-11-30", "validity_days": 3650, "margin": "0.31"}


@pytest.fixture
def house(tmp_path):
    made = House(tmp_path, ESTIMATOR_RATE_BURST="60", ESTIMATOR_RATE_PER_SECOND="1")
    yield made
    made.close()


class Attack:
    """One risk: ``succeeds`` tries the attack, ``without_guard`` takes the guard out."""

    def __init__(self, house, monkeypatch):
        self.house, self.monkeypatch = house, monkeypatch
        self.prepare()

    def prepare(self):
        pass

    def a_quote(self, key, **choices):
        job = self.house.call(key, "POST", "/v1/jobs", json=a_job()).get_json()["id"]
        return self.house.call(key, "POST", f"/v1/jobs/{job}/quotes", json={**CHOICES, **choices})


class API1ObjectLevel(Attack):
    """Another house's job by its id."""

    def prepare(self):
        own = self.house.call(self.house.key("crm"), "POST", "/v1/jobs", json=a_job())
        self.job, self.stranger = own.get_json()["id"], self.house.key("crm", "another house")

    def succeeds(self):
        return self.house.call(self.stranger, "GET", f"/v1/jobs/{self.job}").status_code == 200

    def without_guard(self):
        def anybodys(session, client, job_id, *, lock=False):
            return session.get_one(JobRow, job_id)

        self.monkeypatch.setattr(jobs, "find_job", anybodys)


class API2Authentication(Attack):
    """A key with a known begin and a secret of the attacker's own, its check sum right."""

    def prepare(self):
        self.known = self.house.key("admin")

    def succeeds(self):
        body = self.known[: len("est_") + 10 + 1] + "A" * 43
        forged = body + f"{zlib.crc32(body.encode()):08x}"
        return self.house.call(forged, "GET", "/v1/jobs").status_code == 200

    def without_guard(self):
        assert "digest" in str(OF_PREFIX)
        self.monkeypatch.setattr(keys.hmac, "compare_digest", lambda one, other: True)


class API2Guessing(Attack):
    """As many guesses as one likes from one address."""

    def succeeds(self):
        answers = [self.house.call(f"guess-{at}", "GET", "/v1/jobs").status_code for at in range(12)]
        return set(answers) == {401}

    def without_guard(self):
        self.monkeypatch.setattr(rate_limits.TokenBuckets, "take", lambda self, name: 1)


class API3PropertyLevel(Attack):
    """Cost and margin of a quote, with a key of the CRM."""

    def prepare(self):
        self.quote, self.crm = self.a_quote(self.house.key("estimator")).get_json()["id"], self.house.key("crm")

    def succeeds(self):
        return '"margin"' in self.house.call(self.crm, "GET", f"/v1/quotes/{self.quote}").text

    def without_guard(self):
        self.monkeypatch.setattr(request.Request, "may", lambda self, scope: True)


class API4ResourceConsumption(Attack):
    """More requests than a key's share."""

    def prepare(self):
        self.key = self.house.key("crm")

    def succeeds(self):
        answers = [self.house.call(self.key, "GET", "/v1/jobs").status_code for _ in range(90)]
        return set(answers) == {200}

    def without_guard(self):
        self.monkeypatch.setattr(rate_limits.TokenBuckets, "take", lambda self, name: 1)


class API5FunctionLevel(Attack):
    """An admin's key, made by the CRM for itself."""

    def prepare(self):
        self.crm = self.house.key("crm")

    def succeeds(self):
        made = self.house.call(self.crm, "POST", "/v1/keys", json={"role": "admin", "name": "mine"})
        return made.status_code == 201

    def without_guard(self):
        self.monkeypatch.setattr(gateway, "demand", lambda client, scope: None)


class API6BusinessFlow(Attack):
    """A discount far beyond the limit, approved by whoever gives it, with a second key made for that."""

    def prepare(self):
        self.admin = self.house.key("admin")
        limits = {"limits": {"admin": {"most_discount": "0.05"}}}
        self.house.call(self.admin, "PATCH", "/v1/policy", json=limits, headers={"If-Match": '"v1"'})

    def succeeds(self):
        quote = self.a_quote(self.admin, discount="0.1")
        here, etag = f"/v1/quotes/{quote.get_json()['id']}", quote.headers["ETag"]
        hat = self.house.call(self.admin, "POST", "/v1/keys", json={"role": "pricing", "name": "second hat"}).get_json()
        said = {"json": {"reason": "my friend"}, "headers": {"If-Match": etag}}
        approved = self.house.call(hat["key"], "POST", f"{here}/approve", **said)
        etag = approved.headers.get("ETag", etag)
        return self.house.call(self.admin, "POST", f"{here}/issue", headers={"If-Match": etag}).status_code == 200

    def without_guard(self):
        self.monkeypatch.setattr(approvals, "refuse_own", lambda session, client, row: None)


class API7ServerSideRequestForgery(Attack):
    """A webhook whose name leads to a service on the machine itself."""

    def prepare(self):
        self.secret = _Inside.begin()

    def succeeds(self):
        url = f"http://crm.example.org:{self.secret}/"
        outcome = send(url, {}, b"{}", (ip_network("10.0.0.0/8"),), lambda host, port: ["127.0.0.1"])
        return bool(_Inside.asked) or outcome.status is not None

    def without_guard(self):
        self.monkeypatch.setattr(outbound, "check_address", lambda address, parts, networks: None)


class API8Misconfiguration(Attack):
    """An answer that a browser may frame, guess the kind of, or hand to another site."""

    def succeeds(self):
        answer = House(self.house.settings.data_folder).client.get(
            "/v1/jobs", headers={"Origin": "https://evil.example"}
        )
        guarded = {"X-Content-Type-Options": "nosniff", "X-Frame-Options": "DENY"}
        kept = all(answer.headers.get(name) == value for name, value in guarded.items())
        return not kept or "Access-Control-Allow-Origin" in answer.headers or "Traceback" in answer.text

    def without_guard(self):
        self.monkeypatch.setattr(trace, "SECURITY", {})


class API9Inventory(Attack):
    """An address that is served and nowhere described."""

    def prepare(self):
        self.app = self.house.client.application

    def succeeds(self):
        described = set(self.house.client.get("/openapi.json").get_json()["paths"])
        served = {rule.rule.replace("<", "{").replace(">", "}") for rule in self.app.url_map.iter_rules()}
        return bool({path for path in served if path.startswith("/v")} - described)

    def without_guard(self):
        """The list of routes is the only way to an address: without it, somebody adds one by hand."""
        self.app._got_first_request = False
        self.app.add_url_rule("/v0/jobs", view_func=lambda: "old", endpoint="forgotten")


class API10UnsafeConsumption(Attack):
    """A receiver of webhooks that answers without end."""

    def prepare(self):
        self.port = _Endless.begin()

    def succeeds(self):
        url = f"http://crm.example.org:{self.port}/"
        send(url, {}, b"{}", (ip_network("127.0.0.0/8"),), lambda host, port: ["127.0.0.1"])
        _Endless.over.wait(20)
        return _Endless.sent >= _Endless.LENGTH

    def without_guard(self):
        self.monkeypatch.setattr(outbound, "MOST_READ", 10**9)


class _Inside(http.server.BaseHTTPRequestHandler):
    asked = None

    @classmethod
    def begin(cls):
        cls.asked = []
        server = http.server.HTTPServer(("127.0.0.1", 0), cls)
        threading.Thread(target=server.serve_forever, daemon=True).start()
        return server.server_port

    def do_POST(self):
        self.asked.append(self.path)
        self.send_response(200)
        self.end_headers()

    def log_message(self, *_):
        pass


class _Endless(http.server.BaseHTTPRequestHandler):
    LENGTH, sent, over = 64_000_000, 0, None

    @classmethod
    def begin(cls):
        cls.sent, cls.over = 0, threading.Event()
        server = http.server.HTTPServer(("127.0.0.1", 0), cls)
        threading.Thread(target=server.serve_forever, daemon=True).start()
        return server.server_port

    def do_POST(self):
        self.send_response(200)
        self.send_header("Content-Length", str(self.LENGTH))
        self.end_headers()
        try:
            for _ in range(self.LENGTH // 1_000_000):
                self.wfile.write(b"x" * 1_000_000)
                type(self).sent += 1_000_000
        except OSError:
            pass
        self.over.set()

    def log_message(self, *_):
        pass


RISKS = Attack.__subclasses__()


@pytest.mark.parametrize("risk", RISKS, ids=lambda risk: risk.__name__)
def test_the_attack_comes_to_nothing(risk, house, monkeypatch):
    assert not risk(house, monkeypatch).succeeds()


@pytest.mark.parametrize("risk", RISKS, ids=lambda risk: risk.__name__)
def test_without_its_guard_the_same_attack_succeeds(risk, house, monkeypatch):
    attack = risk(house, monkeypatch)
    attack.without_guard()
    assert attack.succeeds()


def test_every_risk_of_the_ten_is_tried():
    assert {int(risk.__name__[3 : 5 if risk.__name__[4].isdigit() else 4]) for risk in RISKS} == set(range(1, 11))
