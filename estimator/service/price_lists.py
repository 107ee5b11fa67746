"""A supplier's price list into a new edition: its columns are named once, its costs and packs are taken over.

Nothing is guessed: a unit, currency, pack or number that does not fit is a fault with its row, and all faults are told
at once. Parts of the supplier that the list does not name keep their cost and are named. Quantity breaks are those of
the list where its columns tell of them, as rows or as columns; else they stand, and the parts are named.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

import pandas as pd
from openpyxl import load_workbook
from openpyxl.utils.exceptions import InvalidFileException

from estimator.documents.workbook_reading.archive import Archive
from estimator.errors import Fault, Refused
from estimator.pricebook import Book, Part
from estimator.sentences import Sentence, say
from estimator.service.price_list_breaks import TABLE, BreakColumn, Breaks, breaks_of, quantity_in, rising, table_with
from estimator.service.price_list_numbers import number_in

MOST_ROWS, MOST_COLUMNS = 50_000, 100
FILE_ROW = "row"
_HEAD_VALUES = ("edition", "valid_from", "valid_until")


@dataclass(frozen=True, slots=True)
class ListColumns:
    """What a supplier calls the columns of its list, how it writes numbers, and its words for units.

    ``price_per`` names the column that says for how many pieces the price is, such as 100. ``from_quantity`` names the
    column that says from how many on a row's price holds, where a number has several rows; ``breaks`` are columns with
    the prices from a quantity on.
    """

    part: str
    cost: str
    unit: str | None = None
    currency: str | None = None
    pack: str | None = None
    price_per: str | None = None
    sheet: str | None = None
    header_row: int = 1
    decimal_sign: str = "."
    units: Mapping[str, str] | None = None
    from_quantity: str | None = None
    breaks: tuple[BreakColumn, ...] = ()

    @property
    def tells_breaks(self) -> bool:
        """Whether the list has quantity breaks."""
        return self.from_quantity is not None or bool(self.breaks)

    @property
    def named(self) -> tuple[str | None, ...]:
        """Every column that was told."""
        of_breaks = (each.column for each in self.breaks)
        plain = (self.part, self.cost, self.unit, self.currency, self.pack, self.price_per, self.from_quantity)
        return (*plain, *of_breaks)


@dataclass(frozen=True, slots=True)
class NewEdition:
    """The name and days of the edition that a list makes."""

    edition: str
    valid_from: date
    valid_until: date


@dataclass(frozen=True, slots=True)
class ListReport:
    """What a list did: parts changed and unchanged, parts of the supplier it lacks, numbers the book does not know.

    ``breaks_changed`` are parts with other breaks, ``breaks_kept`` changed ones whose breaks the list does not tell.
    """

    changed: tuple[str, ...]
    unchanged: tuple[str, ...]
    missing: tuple[str, ...]
    unknown: tuple[str, ...]
    breaks_kept: tuple[str, ...]
    breaks_changed: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Found:
    """What a list says of a part: its cost for one, and its pack and breaks where the list tells them."""

    cost: Decimal
    pack: int | None
    breaks: Breaks | None = None


def files_with_list(
    files: Mapping[str, bytes], book: Book, supplier: str, columns: ListColumns, content: bytes, new: NewEdition
) -> tuple[dict[str, bytes], ListReport]:
    """The files of a new edition, and what the list did. Errors: Refused, with every fault."""
    parts = {part.part: part for part in book.parts.values() if part.supplier == supplier}
    if not parts:
        known = ", ".join(sorted(book.suppliers))
        raise Refused(
            say("no part of supplier {supplier}", supplier=repr(supplier)),
            [Fault("/supplier", say("no part of {supplier}", supplier=repr(supplier)), known)],
        )
    table = read_list(content, columns)
    found, unknown = _found(table, columns, book, parts)
    changes = {name: found[part.supplier_part] for name, part in parts.items() if part.supplier_part in found}
    changed = tuple(sorted(name for name, each in changes.items() if _differs(parts[name], each)))
    made = dict(files) | {"parts.csv": _parts(files["parts.csv"], {name: changes[name] for name in changed})}
    breaks = {
        name: each.breaks
        for name, each in changes.items()
        if each.breaks is not None and each.breaks != breaks_of(parts[name])
    }
    if breaks:
        made[TABLE] = table_with(files.get(TABLE), breaks)
    made["book.toml"] = _head(files["book.toml"], new)
    report = ListReport(
        changed,
        tuple(sorted({*changes} - {*changed})),
        tuple(sorted({*parts} - {*changes})),
        tuple(unknown),
        tuple(name for name in changed if parts[name].breaks and not columns.tells_breaks),
        tuple(sorted(breaks)),
    )
    return made, report


def read_list(content: bytes, columns: ListColumns) -> pd.DataFrame:
    """The list as texts, with the row of each in the file. Errors: Refused."""
    rows = _rows_of_workbook(content, columns.sheet) if content.startswith(b"PK") else _rows_of_csv(content)
    if len(rows) > MOST_ROWS:
        raise _refuse(say("it has more than {most} rows", most=MOST_ROWS), say("at most {most}", most=MOST_ROWS))
    at = columns.header_row - 1
    names = [" ".join(each.split()) for each in rows[at]] if at < len(rows) else []
    faults = [
        Fault(
            "/columns",
            say("no column {each} in row {header_row}", each=repr(each), header_row=columns.header_row),
            ", ".join(filter(None, names))[:1_000],
        )
        for each in columns.named
        if each is not None and names.count(" ".join(each.split())) != 1
    ]
    if faults:
        raise Refused(say("the list does not have the columns that were told of it"), faults)
    table = pd.DataFrame(rows[at + 1 :]).reindex(columns=range(len(names))).fillna("")
    table = table.set_axis([name or f"#{place}" for place, name in enumerate(names)], axis=1)
    table[FILE_ROW] = range(columns.header_row + 1, columns.header_row + 1 + len(table))
    named: pd.DataFrame = table[table[" ".join(columns.part.split())].str.strip() != ""]
    return named


def _rows_of_workbook(content: bytes, sheet: str | None) -> list[list[str]]:
    archive = Archive(content)
    for name in list(archive.names()):
        archive.part(name)  # measured before anything is believed
    try:
        opened = load_workbook(io.BytesIO(content), read_only=True, data_only=True, keep_links=False)
        if sheet is not None and sheet not in opened.sheetnames:
            known = ", ".join(opened.sheetnames)[:1_000]
            raise Refused(
                say("no sheet {sheet}", sheet=repr(sheet)),
                [Fault("/columns/sheet", say("no sheet {sheet}", sheet=repr(sheet)), known)],
            )
        chosen = opened[sheet] if sheet is not None else opened.worksheets[0]
        chosen.reset_dimensions()
        rows = chosen.iter_rows(max_row=MOST_ROWS + 1, max_col=MOST_COLUMNS, values_only=True)
        return [["" if cell is None else str(cell) for cell in row] for row in rows]
    except (InvalidFileException, KeyError, ValueError, IndexError, AttributeError, TypeError) as fault:
        raise _refuse(say("it is no workbook that can be read"), say("XLSX or CSV")) from fault


def _rows_of_csv(content: bytes) -> list[list[str]]:
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = content.decode("cp1252", "replace")  # what spreadsheets of older systems write
    head = "\n".join(text.splitlines()[:20])
    separator = max(";,\t", key=head.count)
    try:
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
        return [row[:MOST_COLUMNS] for _, row in zip(range(MOST_ROWS + 1), reader, strict=False)]
    except csv.Error as fault:
        raise _refuse(say("it is no CSV file that can be read"), say("XLSX or CSV")) from fault


def _found(
    table: pd.DataFrame, columns: ListColumns, book: Book, parts: Mapping[str, Part]
) -> tuple[dict[str, _Found], list[str]]:
    """What the list says, by the supplier's number; and its numbers that the book does not know."""
    by_number = {part.supplier_part: part for part in parts.values()}
    numbers = table[" ".join(columns.part.split())].str.strip()
    known = table[numbers.isin(by_number.keys())]
    again = numbers.duplicated() if columns.from_quantity is None else numbers.isin([])
    faults = [
        Fault(f"row {row}", say("{number} stands in the list twice", number=repr(number)), say("each number once"))
        for number, row in zip(numbers[again], table[FILE_ROW][again], strict=True)
        if number in by_number
    ]
    rows: dict[str, list[_Row]] = {}
    for each in known.to_dict("records"):
        number = str(each[" ".join(columns.part.split())]).strip()
        read = _row({str(name): str(cell).strip() for name, cell in each.items()}, columns, book, by_number[number])
        if isinstance(read, list):
            faults += read
            rows.setdefault(number, [])
        else:
            rows.setdefault(number, []).append(read)
    found: dict[str, _Found] = {}
    for number, of_number in rows.items():
        together = _together(number, of_number, columns) if of_number else []
        if isinstance(together, list):
            faults += together
        else:
            found[number] = together
    if faults:
        raise Refused(say("the list does not fit the book"), faults)
    return found, sorted(set(numbers[~numbers.isin(by_number.keys())]))[:1_000]


def _together(number: str, rows: Sequence[_Row], columns: ListColumns) -> _Found | list[Fault]:
    """What all rows of one number say: the price from the first piece on, and those from larger quantities on."""
    first = [each for each in rows if each.quantity == 1]
    if len(first) > 1 and columns.from_quantity is not None:
        return [
            Fault(each.place, say("{number} stands in the list twice", number=repr(number)), say("each number once"))
            for each in first[1:]
        ]
    if not first:
        said = say("{number} has no price from the first piece on", number=repr(number))
        return [Fault(rows[0].place, said, say("a row for 1, or without quantity"))]
    if not columns.tells_breaks:
        return first[0].found
    breaks = [*(first[0].found.breaks or ()), *((each.quantity, each.found.cost) for each in rows if each.quantity > 1)]
    checked = rising(first[0].found.cost, breaks, first[0].place)
    return checked if isinstance(checked, list) else replace(first[0].found, breaks=checked)


@dataclass(frozen=True, slots=True)
class _Row:
    """A row of a part, and the quantity from which on its price holds."""

    place: str
    quantity: int
    found: _Found


def _row(row: Mapping[str, str], columns: ListColumns, book: Book, part: Part) -> _Row | list[Fault]:
    faults: list[Fault] = []
    place = f"row {row[FILE_ROW]}"

    def blame(message: Sentence, allowed: str) -> None:
        faults.append(Fault(place, message, allowed))

    cost = number_in(_cell(row, columns.cost), columns.decimal_sign)
    per = number_in(_cell(row, columns.price_per), columns.decimal_sign) if columns.price_per else Decimal(1)
    pack = number_in(_cell(row, columns.pack), columns.decimal_sign) if columns.pack else None
    if cost is None or cost < 0:
        blame(
            say("{cost}: {cell} is no price", cost=columns.cost, cell=repr(_cell(row, columns.cost))),
            say("a number, 0 or more, with {sign} before its decimals", sign=repr(columns.decimal_sign)),
        )
    if per is None or per <= 0:
        said = _cell(row, columns.price_per)
        blame(
            say("{price_per}: {said} is no quantity", price_per=columns.price_per or "", said=repr(said)),
            say("a number above 0"),
        )
    if columns.pack and (pack is None or pack < 1 or pack != int(pack)):
        said = _cell(row, columns.pack)
        blame(
            say("{pack}: {said} is no pack", pack=columns.pack, said=repr(said)),
            say("a whole number, 1 or more"),
        )
    faults += _unit_and_currency(row, columns, book, part)
    said = _cell(row, columns.from_quantity)
    quantity = quantity_in(said, number_in(said, columns.decimal_sign), columns.from_quantity or "", place)
    costs, wrong = _break_costs(row, columns, place)
    faults += wrong
    if isinstance(quantity, Fault):
        faults.append(quantity)
    if faults or cost is None or not per or isinstance(quantity, Fault):
        return faults
    breaks = tuple((from_quantity, _for_one(each, per)) for from_quantity, each in costs)
    return _Row(place, quantity, _Found(_for_one(cost, per), None if pack is None else int(pack), breaks or None))


def _unit_and_currency(row: Mapping[str, str], columns: ListColumns, book: Book, part: Part) -> list[Fault]:
    """What a row says of both that is not the book's."""
    place, unit, currency = f"row {row[FILE_ROW]}", _cell(row, columns.unit), _cell(row, columns.currency)
    faults: list[Fault] = []
    if columns.unit and {**(columns.units or {}), part.unit: part.unit}.get(unit) != part.unit:
        said = say("{unit}: {unit2} is not the unit of {part}", unit=columns.unit, unit2=repr(unit), part=part.part)
        faults.append(Fault(place, said, part.unit))
    if columns.currency and currency.upper() != book.currency:
        said = say("{currency}: {currency2} is not the book's", currency=columns.currency, currency2=repr(currency))
        faults.append(Fault(place, said, book.currency))
    return faults


def _break_costs(
    row: Mapping[str, str], columns: ListColumns, place: str
) -> tuple[list[tuple[int, Decimal]], list[Fault]]:
    """The prices in the columns of breaks, by quantity; empty cells are none."""
    costs: list[tuple[int, Decimal]] = []
    faults: list[Fault] = []
    for each in columns.breaks:
        cell = _cell(row, each.column)
        cost = number_in(cell, columns.decimal_sign)
        if cost is not None and cost >= 0:
            costs.append((each.quantity, cost))
        elif cell:
            said = say("{cost}: {cell} is no price", cost=each.column, cell=repr(cell))
            faults.append(
                Fault(
                    place,
                    said,
                    say(
                        "a number, 0 or more, with {sign} before its decimals, or nothing",
                        sign=repr(columns.decimal_sign),
                    ),
                )
            )
    return costs, faults


def _for_one(cost: Decimal, per: Decimal) -> Decimal:
    return (cost / per).quantize(Decimal(1).scaleb(-6)).normalize()


def _cell(row: Mapping[str, str], column: str | None) -> str:
    return row[" ".join(column.split())] if column else ""


def _differs(part: Part, found: _Found) -> bool:
    other_breaks = found.breaks is not None and found.breaks != breaks_of(part)
    return part.cost != found.cost or (found.pack is not None and part.pack_size != found.pack) or other_breaks


def _parts(content: bytes, changes: Mapping[str, _Found]) -> bytes:
    """The table of parts with other costs and packs; every other cell as it was."""
    text = content.decode("utf-8-sig")
    separator = max(",;\t", key=text.split("\n", 1)[0].count)
    rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=separator))
    names = [each.strip() for each in rows[0]]
    comma = any(re.fullmatch(r"\d+,\d+", row[names.index("cost")]) for row in rows[1:] if len(row) == len(names))
    if any(each.pack is not None for each in changes.values()) and "pack_size" not in names:
        names.append("pack_size")
        rows = [[*row, "pack_size" if at == 0 else "1"] for at, row in enumerate(rows)]
    for row in rows[1:]:
        change = changes.get(row[names.index("part")].strip()) if len(row) == len(names) else None
        if change is not None:
            row[names.index("cost")] = f"{change.cost:f}".replace(".", "," if comma else ".")
            if change.pack is not None:
                row[names.index("pack_size")] = str(change.pack)
    stream = io.StringIO()
    csv.writer(stream, delimiter=separator, lineterminator="\n").writerows(rows)
    return stream.getvalue().encode()


def _head(content: bytes, new: NewEdition) -> bytes:
    """The head with the new edition's name and days; every other line as it was."""
    text = content.decode("utf-8-sig")
    values = {
        "edition": f'"{new.edition}"',
        "valid_from": new.valid_from.isoformat(),
        "valid_until": new.valid_until.isoformat(),
    }
    for name in _HEAD_VALUES:
        text = re.sub(rf"(?m)^{name}\s*=\s*[^#\n]*?(?=\s*(?:#.*)?$)", f"{name} = {values[name]}", text, count=1)
    return text.encode()


def _refuse(reason: Sentence, allowed: str) -> Refused:
    return Refused(say("the list cannot be read: {reason}", reason=reason), [Fault("/", reason, allowed)])


def as_columns(document: Mapping[str, object]) -> ListColumns:
    """What was told of a supplier's columns, as a record."""
    told: dict[str, Any] = {name: document[name] for name in ListColumns.__dataclass_fields__ if name in document}
    breaks = tuple(BreakColumn(each["column"], each["from"]) for each in told.pop("breaks", None) or ())
    return ListColumns(**told, breaks=breaks)
