"""Two spreadsheet programs that recalculate a workbook from its formulas, whatever values it carries."""

import atexit
import io
import shutil
import subprocess
import tempfile
from collections.abc import Sequence
from decimal import Decimal
from functools import lru_cache
from pathlib import Path

import openpyxl

from tests.references import require, require_module

# LibreOffice trusts the values in a file unless told to recalculate always (0). Measured: without this a file whose
# values were all spoilt came back as it was.
RECALCULATE_ALWAYS = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema"
 xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance"><item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item></oor:items>
"""
Figures = dict[tuple[str, str], object]


def by_libreoffice(workbooks: Sequence[bytes], folder: Path) -> list[bytes]:
    """Every workbook opened, recalculated and saved by LibreOffice, all in one call."""
    program, profile = require("libreoffice"), _profile()
    (folder / "in").mkdir(exist_ok=True)
    names = []
    for number, workbook in enumerate(workbooks):
        names.append(folder / "in" / f"{number}.xlsx")
        names[-1].write_bytes(workbook)
    command = [program, f"-env:UserInstallation=file://{profile}", "--headless", "--convert-to", "xlsx"]
    subprocess.run([*command, "--outdir", str(folder / "out"), *map(str, names)], check=True, capture_output=True)
    return [(folder / "out" / name.name).read_bytes() for name in names]


@lru_cache(maxsize=1)
def _profile() -> Path:
    """One profile for a process and all its calls: the program fills it once; gone when the process ends."""
    profile = Path(tempfile.mkdtemp(prefix="office"))
    atexit.register(shutil.rmtree, profile, ignore_errors=True)
    (profile / "user").mkdir()
    (profile / "user" / "registrymodifications.xcu").write_text(RECALCULATE_ALWAYS)
    return profile


def by_formualizer(workbook: bytes) -> bytes:
    """The workbook recalculated by the second engine."""
    report = require_module("formualizer").recalculate_xlsx_bytes(workbook)
    assert report["summary"]["errors"] == 0, report["summary"]
    return report["bytes"]


def formulas(workbook: bytes) -> dict[tuple[str, str], str]:
    """Every formula by sheet and cell."""
    book = openpyxl.load_workbook(io.BytesIO(workbook))
    return {
        (sheet.title, cell.coordinate): cell.value
        for sheet in book
        for row in sheet.iter_rows()
        for cell in row
        if cell.data_type == "f"
    }


def figures(workbook: bytes, of: dict[tuple[str, str], str]) -> Figures:
    """The values that stand behind the formulas."""
    book = openpyxl.load_workbook(io.BytesIO(workbook), data_only=True)
    return {(sheet, cell): book[sheet][cell].value for sheet, cell in of}


def differences(one: Figures, other: Figures, tolerance: str = "0.0000005") -> list[str]:
    """Every cell where two sets of figures are apart; numbers closer than the tolerance are the same."""
    return [
        f"{sheet}!{cell}: {one[sheet, cell]!r} is not {other.get((sheet, cell))!r}"
        for sheet, cell in one
        if not _same(one[sheet, cell], other.get((sheet, cell)), Decimal(tolerance))
    ]


def _same(one: object, other: object, tolerance: Decimal) -> bool:
    if isinstance(one, (int, float)) and isinstance(other, (int, float)):
        return abs(Decimal(repr(one)) - Decimal(repr(other))) <= tolerance * max(1, abs(Decimal(repr(one))) / 10**6)
    return (one or "") == (other or "")
