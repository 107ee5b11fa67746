"""Re-pricing stored quotes by another edition: by the clock and in processor time, reading and storing included.

Run: python -m tests.benchmarks.bench_repricing [quotes] [modules] [processes]
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

from sqlalchemy import select

from estimator.app import with_processes
from estimator.pricebook.records import Book, PriceBreak
from estimator.settings import from_environment
from estimator.storage.tables import QuoteRow
from estimator.tasks.work import work_once
from tests.benchmarks.jobs import job_document
from tests.tasks.test_repricings import EDITION, Later
from tests.tasks.test_work import CHOICES, House

TENTH_MORE = Decimal("1.1")


class Dearer(Later):
    """The catalogue with one more edition, in which every part and every quantity break costs a tenth more."""

    def get(self, organisation: str, pricebook: str, edition: str) -> Book:
        later: Book = super().get(organisation, pricebook, edition)
        if edition != EDITION["edition"]:
            return later
        ours = next(each for each in self.books(organisation) if each.id == pricebook)
        parts = {name: replace(part, breaks=_dearer(ours.parts[name].breaks)) for name, part in later.parts.items()}
        return replace(later, parts=parts)


def _dearer(breaks: tuple[PriceBreak, ...]) -> tuple[PriceBreak, ...]:
    return tuple(replace(each, cost=each.cost * TENTH_MORE) for each in breaks)


def main(quotes: int = 5_000, modules: int = 200, processes: int = 2) -> None:
    with tempfile.TemporaryDirectory() as folder:
        house = House(Path(folder))
        object.__setattr__(house.context, "catalogue", Dearer(house.context.catalogue))
        for kind in ("uniform", "varied"):
            job = house.post("/v1/jobs", {**job_document(modules, kind), "reference": kind}).get_json()["id"]
            answer = house.post(f"/v1/jobs/{job}/quotes", {**CHOICES, "validity_days": 3650})
            if answer.status_code == 202:
                house.worked(answer)
            else:
                assert answer.status_code == 201, answer.text
        _multiply(house.context, quotes)
        began, used = time.perf_counter(), _processor_seconds()
        answer = house.post("/v1/repricings", EDITION)
        assert answer.status_code == 202, answer.text
        context, pool = with_processes(house.context, from_environment({}), processes)
        try:
            assert work_once(context)
        finally:
            pool.close()
        took, used = time.perf_counter() - began, _processor_seconds() - used
        done = house.get(answer.headers["Location"]).get_json()
        assert done["state"] == "succeeded", done
        told = done["progress"]["done"]
        print(f"{told} quotes of {modules} modules, {processes} processes: {took:.1f} s, "
              f"{60 * told / took:,.0f} a minute by the clock; "
              f"{1000 * used / told:.1f} ms of processor time each, storing included")  # fmt: skip
        house.context.engine.dispose()


def _multiply(context: Any, quotes: int) -> None:
    """Copies of the quotes there are, each with a number of its own."""
    with context.writing() as session:
        found = session.scalars(select(QuoteRow)).all()
        columns = [column.key for column in QuoteRow.__table__.columns]
        for at in range(quotes - len(found)):
            row = {name: getattr(found[at % len(found)], name) for name in columns}
            session.add(QuoteRow(**{**row, "id": f"{row['id'][:28]}{at:08x}", "number": f"{row['number']}-{at}"}))


def _processor_seconds() -> float:
    return sum(
        each.ru_utime + each.ru_stime
        for each in map(resource.getrusage, (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    )


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
