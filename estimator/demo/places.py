"""Where the invented pricebooks and jobs lie that ship with the package, and which job is priced by which book."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Any

_PACKAGE = Path(__file__).resolve().parent
WELL_AHEAD = timedelta(days=60)
"""Longer than any lead time of the invented parts."""
_BOOKS = {"us": "prairie-us", "eu": "hanse-eu"}


@dataclass(frozen=True, slots=True)
class DemoJob:
    """A demo job's file, and the name of the pricebook it is meant for."""

    file: Path
    pricebook: str

    def document(self, on: date) -> dict[str, Any]:
        """The job as it is posted on that day: the day of need lies ahead, by whole years where it has to move."""
        job: dict[str, Any] = json.loads(self.file.read_text(encoding="utf-8"))
        needed = job.get("site", {}).get("needed_on")
        if needed is not None:
            job["site"]["needed_on"] = ahead(date.fromisoformat(needed), on).isoformat()
        return job


def ahead(needed: date, on: date) -> date:
    """The same day of the first year in which it lies well ahead of ``on``.

    >>> ahead(date(2027, 4, 20), date(2026, 12, 1)), ahead(date(2027, 4, 20), date(2029, 3, 1))
    (datetime.date(2027, 4, 20), datetime.date(2030, 4, 20))
    """
    while needed < on + WELL_AHEAD:
        needed = needed.replace(year=needed.year + 1)
    return needed


def books_folder() -> Path:
    """The folder of the shipped pricebooks: ``pricebooks`` beside the package, in a checkout and once installed."""
    return _PACKAGE.parents[1] / "pricebooks"


def demo_jobs() -> tuple[DemoJob, ...]:
    """The demo jobs as posted, JSON, by name; the end of a file's name says whose market it is."""
    files = sorted((_PACKAGE / "jobs").glob("*.json"))
    return tuple(DemoJob(file, _BOOKS[file.stem.rpartition("-")[2]]) for file in files)


def sample_job(units: str) -> str:
    """A small job as it is posted, ``metric`` or ``us``: the text of its JSON."""
    return (_PACKAGE / "sample" / f"{units}.json").read_text(encoding="utf-8")
