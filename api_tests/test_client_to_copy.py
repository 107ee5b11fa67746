"""The client that README gives to copy runs as it stands, makes nothing twice, and knows our webhooks."""

import http.server
import json
import subprocess
import sys
import threading
import time
from pathlib import Path
from typing import ClassVar

import pytest

from api_tests.client import verified
from api_tests.posted import a_job

CLIENT = Path(__file__).with_name("client.py")


def test_it_has_at_most_150_lines_and_needs_nothing_of_ours():
    text = CLIENT.read_text(encoding="utf-8")
    assert len(text.splitlines()) <= 150
    assert "estimator" not in text.split('"""', 2)[2].replace("import", "").lower()
    assert "api_tests/client.py" in (CLIENT.parents[1] / "README.md").read_text(encoding="utf-8")


def test_it_takes_a_job_all_the_way_and_a_second_run_makes_nothing_twice(service, clients, tmp_path):
    (tmp_path / "job.json").write_text(json.dumps(a_job(reference="COPIED-1")), encoding="utf-8")
    key = service.key("admin", name="copied client")
    command = [sys.executable, CLIENT, service.base, key, tmp_path / "job.json", tmp_path]
    ran = [subprocess.run(command, check=False, capture_output=True, text=True, timeout=300) for _ in range(2)]
    assert [each.returncode for each in ran] == [0, 0], ran[0].stderr + ran[1].stderr
    assert ran[0].stdout == ran[1].stdout
    assert ran[0].stdout.startswith("Q-")
    assert (tmp_path / "quote.pdf").read_bytes().startswith(b"%PDF")
    assert (tmp_path / "workbook.xlsx").read_bytes().startswith(b"PK")
    assert ran[0].stdout.split()[0].encode() in (tmp_path / "order-list.csv").read_bytes()
    jobs = clients["admin"].jobs(reference="COPIED-1").json()["items"]
    assert len(jobs) == 1
    assert len(clients["admin"].quotes(job=jobs[0]["id"]).json()["items"]) == 1


class Hook(http.server.BaseHTTPRequestHandler):
    told: ClassVar = []

    def do_POST(self):
        body = self.rfile.read(int(self.headers["Content-Length"]))
        self.told.append((dict(self.headers), body))
        self.send_response(204 if len(self.told) > 1 else 500)
        self.end_headers()

    def log_message(self, *_):
        pass


@pytest.fixture
def hook():
    server = http.server.HTTPServer(("127.0.0.1", 0), Hook)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/hooks"
    server.shutdown()


def test_it_verifies_what_the_running_service_sends_and_what_failed_comes_again(crm, hook):
    """The first try is answered 500: after five seconds (a fifth more at most) the same event comes again."""
    made = crm.post_webhook(hook, ["job.posted"]).json()
    job = crm.post_job(a_job()).json()
    for _ in range(300):
        if len(Hook.told) > 1:
            break
        time.sleep(0.1)
    (first, body), (second, again) = Hook.told[:2]
    names = {name.lower(): value for name, value in second.items()}
    assert first["webhook-id"] == second["webhook-id"]
    assert body == again
    told = verified(made["secret"], names, again)
    assert (told["type"], told["data"]["job"]) == ("job.posted", job["id"])
    assert verified("whsec_c2VjcmV0", names, again) is None
    assert verified(made["secret"], names, again + b" ") is None
    assert verified(made["secret"], {**names, "webhook-timestamp": "1700000000"}, again) is None
    log = crm.get(f"/v1/webhooks/{made['id']}/deliveries").json()["items"]
    assert log[0]["attempts"][0]["status"] == 500
    crm.call("DELETE", f"/v1/webhooks/{made['id']}")
