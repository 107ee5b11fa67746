"""A service of its own for a file of tests, people who sign in, and Debian's Chromium to look at its pages."""

import html
import os
import re
import signal
import socket
import time
from contextlib import contextmanager
from pathlib import Path

import requests

from tests import warm
from tests.databases import empty_database
from tests.references import require, require_module

ROOT = Path(__file__).parents[2]
PATIENCE = 240_000  # milliseconds: quotes take long on a machine that others share
WORDS = "four plain words suffice"
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync"]  # fmt: skip


class House:
    """The service as a process of its own, on a port of its own, with the shipped books."""

    def __init__(self, folder, **settings):
        self.folder = folder
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.base = f"http://127.0.0.1:{self.port}"
        self.environment = {
            **os.environ, "ESTIMATOR_DATA": str(folder),
            "ESTIMATOR_PRICEBOOKS": str(ROOT / "pricebooks"), "ESTIMATOR_RATE_BURST": "100000",
            "ESTIMATOR_RATE_PER_SECOND": "100000", "ESTIMATOR_THREADS": "8", "ESTIMATOR_LOG_LEVEL": "warning",
            **settings,
        }  # fmt: skip

    def start(self):
        if "ESTIMATOR_DATABASE_URL" not in self.environment and not (self.folder / "estimator.db").exists():
            empty_database(self.folder)
        self.log = (self.folder / "log.txt").open("ab")
        self.process = warm.begin(["serve", "--port", self.port], self.environment, self.log, self.log)
        for _ in range(1200):
            try:
                if requests.get(self.base + "/readyz", timeout=2).status_code == 200:
                    return self
            except requests.ConnectionError:
                time.sleep(0.1)
        raise RuntimeError((self.folder / "log.txt").read_text())

    def stop(self):
        self.process.send_signal(signal.SIGTERM)
        self.process.wait(timeout=40)
        self.log.close()

    def run(self, *words):
        return warm.run(words, self.environment)

    def person(self, login, role="estimator", language="en", units="metric"):
        """An account with its password; gives its session as a visitor of the pages."""
        token = self.run("people", "invite", login, "--name", login.partition("@")[0].title(), "--role", role,
                         "--language", language, "--units", units).strip()  # fmt: skip
        visitor = Visitor(self.base)
        answer = visitor.send(token, {"password": WORDS, "again": WORDS}, on=token)
        assert answer.status_code == 303, answer.text
        return visitor


class Visitor:
    """A browser without scripts: it keeps cookies, and sends forms with the token they carry."""

    def __init__(self, base):
        self.base, self.session = base, requests.Session()

    def get(self, path, **more):
        return self.session.get(self.base + path, timeout=120, allow_redirects=False, **more)

    def form_token(self, path):
        return re.search(r'name="form_token" value="(\w+)"', self.get(path).text)[1]

    def send(self, path, fields, on=None, files=None):
        """Send a form; ``on``: the page it stands on."""
        told = {"form_token": self.form_token(on or "/me"), **fields}
        return self.session.post(self.base + path, data=told, files=files, timeout=300, allow_redirects=False)

    @property
    def cookies(self):
        return [{"name": each.name, "value": each.value, "url": self.base} for each in self.session.cookies]


@contextmanager
def a_browser():
    """Chromium, headless; skipped (or failed) where there is none."""
    playwright = require_module("playwright.sync_api")
    chromium = require("chromium")
    with playwright.sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=chromium, args=FLAGS)
        yield browser
        browser.close()


@contextmanager
def signed_in(browser, visitor, *, scripts=True, width=1280, height=900, dark=False):
    """A page of somebody who has signed in; whatever the console says or the policy blocks fails the test."""
    view = browser.new_context(
        java_script_enabled=scripts, viewport={"width": width, "height": height},
        color_scheme="dark" if dark else "light",
    )  # fmt: skip
    view.set_default_timeout(PATIENCE)
    view.add_cookies(visitor.cookies)
    page, said, foreign = view.new_page(), [], []
    page.on("console", lambda message: said.append(message.text) if message.type in {"error", "warning"} else None)
    page.on("pageerror", lambda fault: said.append(str(fault)))
    page.on("request", lambda asked: None if asked.url.startswith(visitor.base) else foreign.append(asked.url))
    page.said, page.base = said, visitor.base
    yield page
    assert said == []
    assert [url for url in foreign if not url.startswith(("data:", "blob:", "about:"))] == []
    view.close()


def fields_in(page):
    """What a browser would send of the job's form: every field with its value."""
    form = re.search(r'<form method="post" action="/jobs/form".*?</form>', page, re.DOTALL)[0]
    found = {}
    for tag in re.findall(r"<input[^>]*>", form):
        name = re.search(r'name="([^"]*)"', tag)
        if name:
            found[html.unescape(name[1])] = html.unescape((re.search(r'value="([^"]*)"', tag) or ["", ""])[1])
    for name, text in re.findall(r'<textarea[^>]*name="([^"]*)"[^>]*>(.*?)</textarea>', form, re.DOTALL):
        found[name] = html.unescape(text)
    for name, options in re.findall(r'<select[^>]*name="([^"]*)"[^>]*>(.*?)</select>', form, re.DOTALL):
        chosen = re.search(r'<option value="([^"]*)" selected', options)
        found[name] = html.unescape(chosen[1]) if chosen else ""
    return found


WITHOUT_RAILS = {"mounting/arrangement": "direct"}
"""Entries of a job's form that make it quick to quote: no cut plan is searched."""


def quote_of_the_sample(visitor, reference, entries=None):
    """The sample job, some of its entries changed, saved and quoted through its form: the quote's address."""
    fields = fields_in(visitor.get("/jobs/new?from=sample").text)
    sent = {**fields, **(entries or {}), "do": "quote", "reference": reference}
    answer = visitor.session.post(f"{visitor.base}/jobs/form", data=sent, timeout=300, allow_redirects=False)
    assert answer.status_code == 303, answer.text
    return answer.headers["Location"]


def version_of(visitor, address):
    """The version that a quote's page would send."""
    return re.search(r'name="version" value="(\d+)"', visitor.get(address).text)[1]
