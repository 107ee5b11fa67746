"""The cells of an array: left out by pairs, or drawn as texts, one for each row, the top row first.

Rows and columns count from 1 here, as people count them; inside, the first row and column are 0.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from marshmallow import ValidationError, fields

from estimator.contract.faults import Disallowed, disallowed
from estimator.contract.requests.fields import described
from estimator.errors import MISSING
from estimator.sentences import figure, noted, say

MODULE, LEFT_OUT = "#", "."
MOST_FAULTS = 20
OMIT = "Cells left out, each as [row, column], counted from 1: row 1 at the eave, column 1 at the left."
COUNTED = say("rows and columns count from 1: row 1 at the eave, column 1 at the left")


class OmittedCells(fields.Field[frozenset[tuple[int, int]]]):
    """A list of [row, column] pairs, counted from 1: row 1 at the eave, column 1 at the left."""

    def __init__(self, most: int, **kwargs: Any) -> None:
        pair = {"type": "array", "minItems": 2, "maxItems": 2, "items": {"type": "integer", "minimum": 1}}
        super().__init__(**described(kwargs, type="array", maxItems=most, items=pair, description=OMIT))
        self.most = most

    def _deserialize(
        self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any
    ) -> frozenset[tuple[int, int]]:
        if not isinstance(value, list):
            raise ValidationError(say("not a list of [row, column] pairs"))
        if len(value) > self.most:
            raise disallowed(say("{count} entries", count=len(value)), say("at most {most}", most=self.most))
        faults = {at: [fault] for at, item in enumerate(value) if (fault := _pair_fault(item))}
        if faults:
            raise ValidationError(dict(list(faults.items())[:MOST_FAULTS]))
        return frozenset((int(row) - 1, int(column) - 1) for row, column in value)


def read_cells(loaded: Mapping[str, Any]) -> tuple[int, int, frozenset[tuple[int, int]]]:
    """Rows, columns and the cells left out, these as the inside counts them, from 0.

    Errors: ValidationError where they contradict each other.
    """
    drawn = loaded.get("cells")
    if drawn is not None:
        return _read_drawing(loaded, drawn)
    wanted = Disallowed(MISSING, say("rows and columns, or cells"))
    missing = {name: [wanted] for name in ("rows", "columns") if name not in loaded}
    if missing:
        raise ValidationError(missing)
    rows, columns, omit = loaded["rows"], loaded["columns"], loaded.get("omit", frozenset())
    outside = sorted(cell for cell in omit if cell[0] >= rows or cell[1] >= columns)
    if outside:
        row, column = outside[0]
        cell = f"[{row + 1}, {column + 1}]"
        named = noted(cell, say("and {count} more", count=len(outside) - 1)) if len(outside) > 1 else cell
        raise ValidationError(
            say(
                "cell {cell} lies outside {rows} rows and {columns} columns",
                cell=named,
                rows=rows,
                columns=columns,
            ),
            "omit",
        )
    if len(omit) == rows * columns:
        raise ValidationError(say("every cell is left out; an array needs at least one module"), "omit")
    return rows, columns, omit


def _read_drawing(loaded: Mapping[str, Any], drawn: tuple[str, ...]) -> tuple[int, int, frozenset[tuple[int, int]]]:
    rows, columns = len(drawn), len(drawn[0])
    faults: dict[str, Any] = {}
    if "omit" in loaded:
        faults["omit"] = [say("give the cells left out once: as pairs, or drawn")]
    for name, count in (("rows", rows), ("columns", columns)):
        if loaded.get(name, count) != count:
            told = {"said": loaded[name], "drawn": count}
            faults[name] = [
                say("{said} rows, but {drawn} are drawn", **told)
                if name == "rows"
                else say("{said} columns, but {drawn} are drawn", **told)
            ]
    wrong = {at: [fault] for at, text in enumerate(drawn) if (fault := _row_fault(text, columns))}
    if wrong:
        faults["cells"] = wrong
    elif not any(MODULE in text for text in drawn):
        faults["cells"] = [say("every cell is left out; an array needs at least one module")]
    if faults:
        raise ValidationError(faults)
    from_eave = drawn[::-1]
    omit = frozenset((r, c) for r, text in enumerate(from_eave) for c, sign in enumerate(text) if sign == LEFT_OUT)
    return rows, columns, omit


def _row_fault(text: str, columns: int) -> Disallowed | None:
    if len(text) != columns or not text:
        return Disallowed(
            say("{count} cells", count=len(text)),
            say("as many in every row as in the first ({columns}), at least one", columns=columns),
        )
    strange = set(text) - {MODULE, LEFT_OUT}
    if strange:
        return Disallowed(
            say("{sign} is no cell", sign=repr(min(strange))),
            say("{module} a module, {left_out} left out", module=MODULE, left_out=LEFT_OUT),
        )
    return None


def _pair_fault(item: object) -> Disallowed | None:
    """What is wrong with an entry of ``omit``; nothing if it is a pair counted from 1."""
    if not isinstance(item, list) or len(item) != 2 or not all(_whole(number) for number in item):
        return Disallowed(say("not a pair [row, column] of whole numbers"), COUNTED)
    if min(item) < 1:
        found = say("[{row}, {column}] counts from 0", row=figure(item[0], "g"), column=figure(item[1], "g"))
        return Disallowed(found, say("{counted}, such as [1, 1] for the first cell", counted=COUNTED))
    return None


def _whole(number: object) -> bool:
    return not isinstance(number, bool) and isinstance(number, (int, float)) and number == int(number) >= 0
