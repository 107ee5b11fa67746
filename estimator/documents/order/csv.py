"""Order lists as CSV (RFC 4180): one profile for machines, one for spreadsheets.

The machine profile is UTF-8 without a byte order mark, comma and dot, every value as it is; ids that a spreadsheet
would run as a formula are refused. The spreadsheet profile has a byte order mark and a leading apostrophe before texts
that a spreadsheet would run.
"""

from __future__ import annotations

import csv
import io
from typing import Literal

from estimator.documents.csv_text import RUNS_AS_FORMULA, Profile, encoded, inert
from estimator.documents.header import OrderHeader
from estimator.documents.xlsx.numbers.measures import in_unit
from estimator.errors import Fault, Refused
from estimator.orders import OrderLine, OrderList
from estimator.sentences import say
from estimator.units import DisplayUnits, systems_of

ABOUT: dict[str, str] = {
    "order_number": "the order's number, with the supplier's short name",
    "order_date": "date of the order, ISO 8601",
    "currency": "ISO 4217 code of every amount in the row",
    "buyer_name": "who buys",
    "supplier_id": "the supplier's short name in the pricebook",
    "supplier_name": "who delivers",
    "account": "the buyer's account with the supplier",
    "quotes": "numbers of the quotes ordered, with a space between",
    "ship_to": "where to deliver, its lines with a comma between",
    "ship_to_country": "ISO 3166-1 alpha-2 code",
    "needed_on": "date the site needs the parts, ISO 8601; empty if none was given",
    "order_by": "last date to order this line so that it arrives in time, ISO 8601; may be empty",
    "line_number": "1, 2, 3 ... within the order",
    "part": "the buyer's part number",
    "supplier_part": "the supplier's part number; may be empty",
    "description": "what the part is",
    "role": "what the part does in the takeoff",
    "required": "pieces that all quotes require, spares included",
    "from_stock": "pieces of them taken from stock",
    "ordered": "pieces ordered, whole packs",
    "unit_code": "UN/ECE Recommendation 20 code of the unit counted",
    "pack_size": "pieces in a pack",
    "packs": "packs ordered; packs times pack_size is ordered",
    "unit_cost": "cost of one piece at the break of the ordered quantity, every decimal it has",
    "line_total": "ordered times unit_cost, rounded once to the currency's minor unit",
    "length_mm": "length of a bar in mm; empty for other parts",
    "unit_mass_kg": "mass of one piece in kg",
    "line_mass_kg": "mass of the pieces ordered in kg, without packaging",
    "country_of_origin": "ISO 3166-1 alpha-2 code; may be empty",
    "lead_time_days": "days from order to delivery",
    "why": "how the quantity came about, in sentences",
    "changes": "numbers of the orders that this one changes, with a space between; every quantity is then a difference",
    "ordered_before": "pieces on order before a change; empty in an order that changes none",
}
"""Every column in its order, and what stands in it."""
COLUMNS = tuple(ABOUT)
IN_POUNDS: dict[str, str] = {"length_mm": "length_in", "unit_mass_kg": "unit_mass_lb", "line_mass_kg": "line_mass_lb"}
"""The columns of measures, and what takes their place, or stands behind them, for people who read inches and pounds."""
NUMBERS = frozenset({"unit_cost", "line_total", *IN_POUNDS, *IN_POUNDS.values()})
TEXTS = frozenset({
    "buyer_name", "supplier_name", "account", "quotes", "ship_to", "description", "why", "part", "supplier_part",
    "order_number", "supplier_id", "role", "changes",
})  # fmt: skip
IDS = ("order_number", "supplier_id", "part", "supplier_part")


def write_order_csv(
    order: OrderList,
    header: OrderHeader,
    profile: Profile = "machine",
    delimiter: str = ",",
    decimal_sign: Literal[".", ","] = ".",
    units: DisplayUnits = "metric",
) -> bytes:
    """One supplier's order list, one row a line, header fields repeated (see ``ABOUT``); the same list, the same bytes.

    A spreadsheet whose locale writes decimals with a comma wants ``delimiter`` ";" and ``decimal_sign`` ",". Lengths
    and masses are in ``units``, which the heads name; both systems stand beside each other.
    Refuses (Refused), in the machine profile, an id that begins like a formula; and two signs that are one.
    """
    if delimiter == decimal_sign:
        raise Refused(say("columns and decimals cannot both be parted by {delimiter}", delimiter=repr(delimiter)))
    rows = [_row(order, header, number, line) for number, line in enumerate(order.lines, start=1)]
    if profile == "machine":
        _refuse_running_ids(rows)
    else:
        rows = [{name: _inert(name, value) for name, value in row.items()} for row in rows]
    if decimal_sign != ".":
        rows = [{n: v.replace(".", decimal_sign) if n in NUMBERS else v for n, v in row.items()} for row in rows]
    text = io.StringIO(newline="")
    columns = columns_in(units)
    writer = csv.DictWriter(
        text, columns, "", "ignore", delimiter=delimiter, lineterminator="\r\n", quoting=csv.QUOTE_MINIMAL
    )
    writer.writeheader()
    writer.writerows(rows)
    return encoded(text.getvalue(), profile)


def columns_in(units: DisplayUnits) -> tuple[str, ...]:
    """The columns in their order, measures in those units.

    >>> [name for name in columns_in("us") if "length" in name], [n for n in columns_in("metric_us") if "length" in n]
    (['length_in'], ['length_mm', 'length_in'])
    """
    systems = systems_of(units)
    found: list[str] = []
    for name in COLUMNS:
        own = {"metric": name, "us": IN_POUNDS.get(name, name)}
        found += dict.fromkeys(own[system] for system in systems)
    return tuple(found)


def _in_pounds(line: OrderLine) -> dict[str, str]:
    """Length and masses as people who read inches and pounds want them."""
    length = "" if line.length_mm is None else f"{in_unit(line.length_mm, 'length', 'us'):.3f}"
    each, every = (in_unit(kg, "mass", "us") for kg in (line.unit_mass_kg, line.mass_kg))
    return {"length_in": length, "unit_mass_lb": f"{each:.4f}", "line_mass_lb": f"{every:.2f}"}


def _row(order: OrderList, header: OrderHeader, number: int, line: OrderLine) -> dict[str, str]:
    return _head(order, header) | {
        "line_number": str(number),
        "part": line.part,
        "supplier_part": line.supplier_part,
        "description": line.description,
        "role": line.role,
        "required": str(line.required),
        "from_stock": str(line.from_stock),
        "ordered": str(line.ordered),
        "unit_code": line.unit,
        "pack_size": str(line.pack_size),
        "packs": str(line.packs),
        "unit_cost": f"{line.unit_cost:f}",
        "line_total": f"{line.cost.amount:f}",
        "length_mm": "" if line.length_mm is None else f"{line.length_mm:g}",
        "unit_mass_kg": f"{line.unit_mass_kg:g}",
        "line_mass_kg": f"{line.mass_kg:.3f}",
        "country_of_origin": line.country_of_origin,
        "lead_time_days": str(line.lead_time_days),
        "order_by": str(line.order_by or ""),
        "why": "; ".join((*line.why, *line.stands)),
        "ordered_before": "" if line.before is None else str(line.before),
        **_in_pounds(line),
    }


def _head(order: OrderList, header: OrderHeader) -> dict[str, str]:
    supplier = order.supplier
    return {
        "order_number": header.number_for(supplier.supplier),
        "order_date": header.dated.isoformat(),
        "currency": order.currency,
        "buyer_name": order.buyer.name,
        "supplier_id": supplier.supplier,
        "supplier_name": supplier.name,
        "account": supplier.account,
        "quotes": " ".join(order.quotes),
        "ship_to": ", ".join(order.ship_to),
        "ship_to_country": order.country,
        "needed_on": str(order.needed_on or ""),
        "changes": " ".join(order.changes),
    }


def _inert(name: str, value: str) -> str:
    return inert(value) if name in TEXTS else value


def _refuse_running_ids(rows: list[dict[str, str]]) -> None:
    faults = [
        Fault(
            f"line {at}, {name}",
            say("{row} begins like a formula", row=repr(row[name])),
            say("an id that begins with a letter or digit"),
        )
        for at, row in enumerate(rows, start=1)
        for name in IDS
        if row[name].startswith(RUNS_AS_FORMULA)
    ]
    if faults:
        raise Refused(say("the order list holds ids that a spreadsheet would run"), faults)
