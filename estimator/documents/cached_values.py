"""Put the engine's own values behind the formulas of a finished workbook, and make its bytes the same every time.

openpyxl writes formulas without values; a reader that does not recalculate then sees nothing. This pass writes each
value beside its formula, refuses a formula without one, and fixes the times that the writer leaves in the archive.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from xml.sax.saxutils import escape, unescape

from lxml import etree

Value = Decimal | int | str | bool
CachedValues = Mapping[str, Mapping[str, Value]]

_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_RELATION = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
_FORMULA_CELL = re.compile(r'<c r="([A-Z]+[0-9]+)"([^>]*)><f([^>]*)>(.*?)</f>(?:<v\s*/>|<v></v>)</c>', re.DOTALL)
_FORMULA = re.compile(r"<f[ >]")
_TIME = re.compile(rb"(<dcterms:(created|modified)[^>]*>)[^<]*(</dcterms:)")
_ZIP_TIME = (1980, 1, 1, 0, 0, 0)


class FormulaWithoutValue(ValueError):
    """A formula cell for which the engine gave no value, or a value for a cell without formula."""


def with_cached_values(workbook: bytes, values: CachedValues, dated: date) -> bytes:
    """The workbook with every formula's value beside it, all its times set to the document's date.

    Args:
        workbook: a file as openpyxl saved it.
        values: by sheet title and cell, the value of each formula.
        dated: the document's date.

    Raises:
        FormulaWithoutValue: a formula has no value here, or a value has no formula.

    """
    source = zipfile.ZipFile(io.BytesIO(workbook))
    titles = _titles_by_part(source)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as target:
        for name in source.namelist():
            content = source.read(name)
            if name in titles:
                content = _fill(content.decode("utf-8"), titles[name], values.get(titles[name], {})).encode("utf-8")
            elif name == "docProps/core.xml":
                content = _TIME.sub(rb"\g<1>" + dated.isoformat().encode() + rb"T00:00:00Z\g<3>", content)
            entry = zipfile.ZipInfo(name, _ZIP_TIME)
            entry.compress_type = zipfile.ZIP_DEFLATED
            target.writestr(entry, content)
    return out.getvalue()


def _titles_by_part(source: zipfile.ZipFile) -> dict[str, str]:
    relations = etree.fromstring(source.read("xl/_rels/workbook.xml.rels"))
    targets = {each.get("Id"): str(each.get("Target")).lstrip("/") for each in relations}
    book = etree.fromstring(source.read("xl/workbook.xml"))
    titles = {}
    for sheet in book.iter(f"{_MAIN}sheet"):
        target = targets[sheet.get(_RELATION)]
        titles[target if target.startswith("xl/") else f"xl/{target}"] = str(sheet.get("name"))
    return titles


def _fill(xml: str, title: str, values: Mapping[str, Value]) -> str:
    """Every formula cell of one sheet with its value."""
    missing: list[str] = []
    filled = 0

    def put(match: re.Match[str]) -> str:
        nonlocal filled
        cell, attributes, kind, formula = match.groups()
        value = values.get(cell)
        if value is None:
            missing.append(f"{cell}: ={unescape(formula)}")
            return match.group(0)
        filled += 1
        mark, text = _written(value)
        return f'<c r="{cell}"{attributes}{mark}><f{kind}>{formula}</f><v>{text}</v></c>'

    result = _FORMULA_CELL.sub(put, xml)
    if missing:
        raise FormulaWithoutValue(f"sheet {title!r}: no value for {'; '.join(missing[:5])} ({len(missing)} in all)")
    if filled != len(values) or filled != len(_FORMULA.findall(xml)):
        raise FormulaWithoutValue(f"sheet {title!r}: {len(values)} values, {filled} formulas filled")
    return result


def _written(value: Value) -> tuple[str, str]:
    """The cell's type attribute and the text of its value."""
    if isinstance(value, bool):
        return ' t="b"', "1" if value else "0"
    if isinstance(value, str):
        return ' t="str"', escape(value)
    return "", f"{value:f}" if isinstance(value, Decimal) else str(value)
