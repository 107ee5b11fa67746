"""README's first hour, word for word, against a service that it starts itself; only the port is another.

Source: README, section "The first hour over REST"; a PDF begins with %PDF (ISO 32000-1, 7.5.2).
"""

import json
import os
import re
import shutil
import socket
import subprocess
from pathlib import Path

import pytest

from api_tests.conftest import BOOKS, ESTIMATOR

README = Path(__file__).parents[1] / "README.md"
BLOCK = re.compile(r"<!-- first hour -->\n```sh\n(.*?)```", re.DOTALL)


def free_port():
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return str(free.getsockname()[1])


@pytest.fixture(scope="module")
def hour(tmp_path_factory):
    """The folder after the hour, and what the shell said."""
    if shutil.which("curl") is None:
        pytest.skip("curl is not installed")
    folder, port = tmp_path_factory.mktemp("hour"), free_port()
    words = BLOCK.search(README.read_text(encoding="utf-8"))[1]
    environment = {
        **os.environ,
        "ESTIMATOR_PORT": port,
        "ESTIMATOR_PRICEBOOKS": str(BOOKS),
        "PATH": f"{ESTIMATOR.parent}{os.pathsep}{os.environ['PATH']}",
    }
    for name in ("ESTIMATOR_DATA", "ESTIMATOR_DATABASE_URL"):
        environment.pop(name, None)
    done = subprocess.run(
        ["sh", "-e", "-c", words.replace(":8080", f":{port}")],
        check=False, cwd=folder, env=environment, capture_output=True, text=True, timeout=300,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr + (folder / "service.log").read_text()
    return folder


def test_the_first_hour_ends_with_an_issued_quote_and_its_papers(hour):
    issued = json.loads((hour / "issued.json").read_text(encoding="utf-8"))
    assert (issued["state"], issued["standing_errors"]) == ("issued", 0)
    assert (hour / "quote.pdf").read_bytes().startswith(b"%PDF-")
    assert (hour / "workbook.xlsx").read_bytes().startswith(b"PK")


def test_the_sample_job_is_posted_as_it_is_printed(hour):
    posted = json.loads((hour / "job-answer.json").read_text(encoding="utf-8"))
    assert posted["reference"] == json.loads((hour / "job.json").read_text(encoding="utf-8"))["reference"]


def test_the_page_shows_every_step_and_the_sample_job_as_readme_does(nobody):
    page = nobody.get("/docs").text
    for line in BLOCK.search(README.read_text(encoding="utf-8"))[1].splitlines():
        told = line.removeprefix("# ").replace("&", "&amp;").replace('"', "&#34;").replace("'", "&#39;")
        assert told.replace("<", "&lt;").replace(">", "&gt;") in page, line
    assert "SAMPLE-1" in page
    assert nobody.get("/static/roof.svg").headers["Content-Type"].startswith("image/svg+xml")


@pytest.mark.parametrize(
    ("headers", "status", "form"),
    [
        ({}, 428, 'If-Match: "v1"'),
        ({"If-Match": "v1"}, 400, 'If-Match: "v1"'),
        ({"If-Match": '"v1"', "Content-Type": "text/plain"}, 415, "Content-Type: application/merge-patch+json"),
    ],
)
def test_a_refused_header_is_told_with_the_form_it_should_have(crm, headers, status, form):
    """From RFC 9110, 13.1.1: an entity tag stands in quotation marks."""
    refused = crm.call("PATCH", "/v1/jobs/none", data="{}", headers=headers)
    assert (refused.status_code, form in refused.json()["detail"]) == (status, True), refused.text


def test_without_a_key_the_form_of_the_header_is_told(nobody):
    """From RFC 6750, 2.1."""
    assert "Authorization: Bearer est_" in nobody.get("/v1/jobs").json()["detail"]
