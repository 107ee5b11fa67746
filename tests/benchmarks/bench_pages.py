"""Pages: the list of quotes as their number grows, and a job's plan from a keystroke to the answer.

Processor seconds of the app in this process, without a network. Lists are read from rows of their own, so the offers
behind them are kept short here. What the plan weighs is told as it is sent, before a network packs it.

In a browser, against a server of its own: from the request to the painted plan, from a keystroke to the plan drawn
anew (and how long the server took of that), what a page weighs, and whether anything moves while it loads. These are
by the clock, so they are comparable within one run only.

Run: python -m tests.benchmarks.bench_pages [quotes ...], or "browser [modules ...]"
"""

from __future__ import annotations

import json
import logging
import re
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from types import SimpleNamespace

import structlog
from sqlalchemy import insert, select

from estimator.contract.requests.pricing import pricing_of
from estimator.demo import sample_job
from estimator.service.context import new_id, store_nothing
from estimator.service.jobs import post_job
from estimator.service.people.accounts import list_people
from estimator.service.quoting import quotes
from estimator.storage.tables import QuoteRow
from estimator.storage.tables.listings import QuoteListingRow, waiting
from tests.benchmarks.jobs import job_document
from tests.web.browser import House, Visitor, a_browser, signed_in
from tests.web.desks import Desk

QUOTES = (1_000, 10_000, 100_000)
MODULES = (250, 2_500, 25_000)
AT_A_TIME = 5_000
LISTS = {
    "first page": "/quotes", "rare word": "/quotes?words=rare-17", "two words": "/quotes?words=hill+barn",
    "state": "/quotes?state=issued", "state and total": "/quotes?state=issued&order=largest",
    "expiring": "/quotes?state=issued&ending=7&order=ending",
    "customer": "/quotes?customer=farm+12", "total": "/quotes?least=100000&most=100100", "page 20": "/quotes?page=20",
}  # fmt: skip


def seconds(work: Callable[[], object], times: int = 3) -> float:
    """The least processor time of a few goes."""
    least = float("inf")
    for _ in range(times):
        began = time.process_time()
        work()
        least = min(least, time.process_time() - began)
    return least


def many_quotes(desk: Desk, upto: int, have: int) -> None:
    """Quotes copied from the first, with their own numbers, words, states, days and totals.

    As in a house that keeps up: one draft in fifty fails its checks, one accepted quote in fifty is not ordered yet,
    and those that were declined were so over two years.
    """
    quote, listing = QuoteRow.__table__, QuoteListingRow.__table__
    with desk.context.writing() as session:
        first = dict(session.execute(select(quote).order_by(quote.c.id)).mappings().first() or {})
        shown = dict(session.execute(select(listing).order_by(listing.c.quote_id)).mappings().first() or {})
    states = ("draft", "issued", "issued", "accepted", "declined")
    for start in range(have, upto, AT_A_TIME):
        rows, listings = [], []
        for at in range(start, min(upto, start + AT_A_TIME)):
            own = {"number": f"B-{at:06d}", "state": states[at % 5], "total": first["total"] + at,
                   "valid_until": first["valid_until"] + timedelta(days=at % 60 - 30), "errors": int(at % 250 == 0),
                   "answered_at": first["created_at"] - timedelta(days=at % 730)}  # fmt: skip
            waits_for, waits_on = waiting(SimpleNamespace(**own), ordered=at % 250 != 3)
            words = f"b-{at:06d} job {at} hill barn {'rare-17' if at % 50_000 == 17 else ''} farm {at % 500}"
            key = new_id()
            rows.append({**first, **own, "id": key, "offer": b"", "revises_id": None})
            listings.append({**shown, **own, "quote_id": key, "words": words, "customer": f"Farm {at % 500}",
                             "waits_for": waits_for, "waits_on": waits_on})  # fmt: skip
        with desk.context.writing() as session:
            session.execute(insert(quote), rows)
            session.execute(insert(listing), listings)


def lists(desk: Desk, counts: tuple[int, ...]) -> None:
    visitor = desk.person("estimator")
    client = next(person.client for person, _ in list_people(desk.context))
    document = json.loads(sample_job("metric"))
    pricing = pricing_of(document, {})
    kept = post_job(desk.context, client, pricing.job, document, store_nothing)
    quotes.draft_quote(desk.context, client, kept.id, pricing, store_nothing)
    have = 1
    for count in counts:
        many_quotes(desk, count, have)
        have = count
        for name, path in LISTS.items():
            took = seconds(lambda path=path: visitor.get(path))
            print(f"{count:>8,} quotes  {name:<16} {1000 * took:7.1f} ms  {1 / took:6.0f} pages/s", flush=True)


def plans(desk: Desk, sizes: tuple[int, ...]) -> None:
    visitor = desk.person("estimator")
    token = re.search(r'name="form_token" value="(\w+)"', visitor.get("/me").text)[1]
    for modules in sizes:
        base = json.dumps(job_document(modules))
        sent = {"form_token": token, "base": base, "origin": base}
        for name, path in (("first view", "/jobs/form"), ("redrawn", "/jobs/draw")):
            took = seconds(lambda path=path, sent=sent: visitor.client.post(path, data={**sent, "do": "look"}), 2)
            size = len(visitor.client.post(path, data={**sent, "do": "look"}).data)
            print(f"{modules:>8,} modules {name:<16} {1000 * took:7.0f} ms  {size / 1000:7.0f} kB", flush=True)


WATCH = """
window.shifted = 0;
new PerformanceObserver((list) => { for (const each of list.getEntries()) window.shifted += each.value; })
  .observe({ type: "layout-shift", buffered: true });
document.addEventListener("DOMContentLoaded", () => requestAnimationFrame(() => setTimeout(() => {
  window.painted = performance.now();
})));
"""
KEYSTROKE = """() => new Promise((done) => {
  const field = document.querySelector("[name='roofs/0/arrays/0/y']"), began = performance.now();
  new MutationObserver((_, seen) => {
    seen.disconnect();
    requestAnimationFrame(() => setTimeout(() => {
      const all = performance.getEntriesByType("resource");
      const [sent] = all.filter((each) => each.name.endsWith("/jobs/draw")).slice(-1);
      done([performance.now() - began, sent.responseStart - sent.requestStart]);
    }));
  }).observe(document.getElementById("sketch"), { childList: true });
  field.value = "1210 mm";
  field.dispatchEvent(new Event("input", { bubbles: true }));
})"""


def in_a_browser(sizes: tuple[int, ...]) -> None:
    """Jobs of so many modules, opened and changed in Chromium."""
    with tempfile.TemporaryDirectory() as folder:
        house = House(Path(folder)).start()
        try:
            visitor = house.person("bench@example.com")
            with a_browser() as browser:
                for modules in sizes:
                    _opened(browser, visitor, modules)
        finally:
            house.stop()


def _opened(browser: object, visitor: Visitor, modules: int) -> None:
    base = json.dumps(job_document(modules))
    saved = visitor.send("/jobs/form", {"base": base, "origin": base, "do": "save"}).headers["Location"]
    with signed_in(browser, visitor) as page:
        page.add_init_script(WATCH)
        sent: list[int] = []
        page.on("response", lambda answer: sent.append(int(answer.header_value("content-length") or 0)))
        page.goto(visitor.base + saved, wait_until="networkidle")
        page.wait_for_function("window.painted !== undefined")
        painted, shifted = page.evaluate("[window.painted, window.shifted]")
        plan, cells = page.evaluate(
            """[[...document.querySelectorAll('svg.roof-plan')].reduce((n, s) => n + s.outerHTML.length, 0),
                [...document.querySelectorAll('.sketched')].reduce((n, s) => n + s.dataset.cells.length, 0)]"""
        )
        weight = sum(sent)
        drawn, waited = page.evaluate(KEYSTROKE)
        print(
            f"{modules:>8,} modules  painted {painted:6.0f} ms  redrawn {drawn:6.0f} ms, "
            f"of which server {waited:6.0f} ms  "
            f"sent {weight / 1000:7.0f} kB, plan {plan / 1000:7.0f} kB, cells {cells / 1000:4.0f} kB  "
            f"moved {shifted:.3f}",
            flush=True,
        )


def main(counts: tuple[int, ...] = QUOTES, sizes: tuple[int, ...] = MODULES) -> None:
    without_log()
    with tempfile.TemporaryDirectory() as folder:
        desk = Desk(Path(folder))
        lists(desk, counts)
        plans(desk, sizes)
        desk.context.engine.dispose()


def without_log() -> None:
    """The app in this process tells its requests to nobody: what is printed is the benchmark's own."""
    structlog.configure(wrapper_class=structlog.make_filtering_bound_logger(logging.ERROR))


if __name__ == "__main__":
    words = sys.argv[1:]
    if words[:1] == ["browser"]:
        in_a_browser(tuple(int(each) for each in words[1:]) or MODULES)
    else:
        main(tuple(int(each) for each in words) or QUOTES)
