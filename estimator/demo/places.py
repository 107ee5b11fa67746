"""Where the invented pricebooks and jobs lie that ship with the package, and which job is priced by which book."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent
_BOOKS = {"us": "prairie-us", "eu": "hanse-eu"}


@dataclass(frozen=True, slots=True)
class DemoJob:
    """A demo job's file, and the name of the pricebook it is meant for."""

    file: Path
    pricebook: str


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
