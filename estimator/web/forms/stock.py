"""Stock and off-cuts on hand as people have them: typed line by line, or from a spreadsheet's CSV."""

from __future__ import annotations

import csv
import io
import re

from estimator.errors import Fault, Refused
from estimator.sentences import say
from estimator.web.forms.choice_entries import OFFCUTS
from estimator.web.forms.entries import Document

MOST_ROWS = 10_000
_TYPED = re.compile(r"(?P<part>\S.*?)[\s;,:=×x]+(?P<count>-?[\d.,]+)\s*\Z")


def stock_of(typed: str, content: bytes | None) -> dict[str, Document]:
    r"""What is in stock, by part; a part named twice is a fault. Errors: Refused with every line that cannot be read.

    >>> stock_of("XB-40 12\nXC-2; 300", None)
    {'XB-40': 12, 'XC-2': 300}
    """
    rows = [(f"line {at}", _split(line)) for at, line in enumerate(typed.splitlines(), start=1) if line.strip()]
    rows += _rows(content)
    found: dict[str, Document] = {}
    faults = []
    for place, (part, count) in rows:
        if part in found:
            faults.append(Fault(place, say("{part} is named twice", part=part)))
        elif not part or not count.isascii() or not count.isdigit() or len(count) > 9:
            faults.append(
                Fault(
                    place,
                    say("{part} is no part with a count", part=repr(f"{part} {count}".strip())),
                    say("a part's number and a whole count"),
                )
            )
        else:
            found[part] = int(count)
    if faults:
        raise Refused(say("the stock on hand cannot be read"), faults[:50])
    return found


def _split(line: str) -> tuple[str, str]:
    match = _TYPED.match(line.strip())
    return (match["part"].strip(" ;,:="), match["count"]) if match else (line.strip(), "")


def offcuts_of(content: bytes | None, *, us: bool) -> list[Document]:
    r"""Off-cuts of a CSV, a row each: rail, length, what one counts for, how many. Errors: Refused, where it is none.

    A length without a unit is in millimetres, or in inches for readers of feet and inches, as in the form.

    >>> offcuts_of(b"rail;length;price;count\nXR-38;3960;4,00;2\n", us=False)
    [{'rail': 'XR-38', 'length': 3960, 'price': '4.00', 'count': 2}]
    """
    found = []
    for _, cells in _table(content):
        said = dict(zip(("rail", "length", "price", "count"), cells, strict=False))
        said["price"] = said.get("price", "").replace(",", ".")
        row = {entry.path: entry.read(said.get(entry.path, ""), None, us) for entry in OFFCUTS.entries}
        found.append({name: value for name, value in row.items() if value is not None})
    return found


def _rows(content: bytes | None) -> list[tuple[str, tuple[str, str]]]:
    """The first two columns of a CSV."""
    return [(f"row {at}", (cells[0], cells[1] if len(cells) > 1 else "")) for at, cells in _table(content)]


def _table(content: bytes | None) -> list[tuple[int, list[str]]]:
    """The rows of a CSV (None is no file) with their numbers; a first row without a number is its head."""
    if content is None:
        return []
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = content.decode("latin-1")
    head = text.partition("\n")[0]
    separator = max(";,\t", key=head.count)
    rows = []
    for at, row in enumerate(csv.reader(io.StringIO(text), delimiter=separator), start=1):
        cells = [cell.strip() for cell in row]
        if not any(cells) or (at == 1 and not any(cell.isdigit() for cell in cells)):
            continue
        if at > MOST_ROWS:
            raise Refused(
                say("the file is too long"), [Fault(f"row {at}", say("more than {most} rows", most=MOST_ROWS))]
            )
        rows.append((at, cells))
    if not rows:  # what is on hand would be forgotten without a word
        raise Refused(say("the file has no rows"), [Fault("row 1", say("no row with a number in it"))])
    return rows
