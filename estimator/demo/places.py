"""Where the invented pricebooks and jobs lie that ship with the package."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def books_folder() -> Path:
    """The folder of the shipped pricebooks: ``pricebooks`` beside the package, in a checkout and once installed."""
    return _PACKAGE.parents[1] / "pricebooks"


def job_files() -> tuple[Path, ...]:
    """The demo jobs as posted, JSON, by name."""
    return tuple(sorted((_PACKAGE / "jobs").glob("*.json")))
