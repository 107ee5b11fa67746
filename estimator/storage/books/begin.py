"""A first pricebook to begin with: small, commented, in a house's own units and signs, and without a fault."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from babel.numbers import get_decimal_symbol, get_territory_currencies

from estimator.errors import Fault, PricebookRefused
from estimator.sentences import say
from estimator.storage.books.files import HEAD
from estimator.storage.books.head.head import is_locale
from estimator.storage.books.head.section import NAME
from estimator.storage.books.rows.table import WORDED

_HERE = Path(__file__).parent / "beginning"
_LENGTHS: Mapping[str, Mapping[str, str]] = {
    "metric": {"overhang": "50", "gap_min": "80", "gap_max": "120"},
    "us": {"overhang": '"2 in"', "gap_min": '"3 in"', "gap_max": '"5 in"'},
}
UNITS = tuple(_LENGTHS)
LOCALES: Mapping[str, str] = {"metric": "de-DE", "us": "en-US"}
"""What is written where no locale is asked for."""


@dataclass(frozen=True, slots=True)
class Beginning:
    """What a first book is to be: where it lies (``.../<id>/<edition>``), its units, its locale, its first day."""

    folder: Path
    units: str
    locale: str
    valid_from: date


def begin_book(wanted: Beginning) -> tuple[Path, ...]:
    """Write the files of a first book into a folder that is not there yet, or empty; gives their paths.

    Refuses (PricebookRefused) a folder that holds anything, names that cannot name a book, and an unknown locale.
    """
    folder = wanted.folder.absolute()
    faults = [
        Fault(
            str(wanted.folder),
            say("{name} cannot name {what}", name=repr(name), what=what),
            say("letters, figures, points and dashes"),
        )
        for name, what in ((folder.parent.name, "a pricebook"), (folder.name, "an edition"))
        if not NAME.fullmatch(name)
    ]
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        faults.append(Fault(str(wanted.folder), say("something is there already"), say("a new or an empty folder")))
    if not is_locale(wanted.locale):
        faults.append(
            Fault(
                "--locale",
                say("{locale} is no locale that is known", locale=repr(wanted.locale)),
                say("such as de-DE, fr-FR, en-US"),
            )
        )
    if faults:
        raise PricebookRefused(say("no book can be begun here"), faults)
    folder.mkdir(parents=True, exist_ok=True)
    written = {HEAD: _head(wanted, folder)} | {
        path.name: _table(path, wanted.locale) for path in sorted((_HERE / wanted.units).glob("*.csv"))
    }
    for name, text in written.items():
        (folder / name).write_text(text, encoding="utf-8", newline="")
    return tuple(folder / name for name in written)


def _head(wanted: Beginning, folder: Path) -> str:
    country = wanted.locale[-2:]
    text = (_HERE / HEAD).read_text(encoding="utf-8")
    units = (_HERE / wanted.units / "units.toml").read_text(encoding="utf-8").rstrip()
    values = {
        "id": folder.parent.name,
        "edition": folder.name,
        "locale": wanted.locale,
        "currency": (get_territory_currencies(country) or ["EUR"])[-1],
        "country": country,
        "valid_from": wanted.valid_from.isoformat(),
        "valid_until": (wanted.valid_from + timedelta(days=365)).isoformat(),
        "units": units,
        **_LENGTHS[wanted.units],
    }
    for name, value in values.items():
        text = text.replace(f"{{{name}}}", value)
    return text


def _table(path: Path, locale: str) -> str:
    """A table as a spreadsheet of that locale writes it."""
    rows = list(csv.reader(io.StringIO(path.read_text(encoding="utf-8"), newline="")))
    if get_decimal_symbol(locale.replace("-", "_")) != ",":
        return path.read_text(encoding="utf-8")
    remarks = [row for row in rows if row[0].startswith("# ")]
    header, *records = [row for row in rows if row not in remarks]
    text = io.StringIO(newline="")
    text.writelines(f"{','.join(row)}\n" for row in remarks)
    writer = csv.writer(text, delimiter=";", lineterminator="\n")
    writer.writerow(header)
    writer.writerows(
        [cell if name in WORDED else cell.replace(".", ",") for name, cell in zip(header, row, strict=True)]
        for row in records
    )
    return text.getvalue()
