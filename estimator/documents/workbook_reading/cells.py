"""Reading single cells out of a workbook's parts: only those asked for, as text, in one pass over each part."""

from __future__ import annotations

import io
import posixpath
from collections.abc import Iterator, Mapping, Set
from dataclasses import dataclass, replace

from lxml import etree

from estimator.documents.workbook_reading.archive import Archive, refuse
from estimator.sentences import say

_RELATION = (
    "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id",
    "{http://purl.oclc.org/ooxml/officeDocument/relationships}id",
)
_LONGEST_TEXT = 32_767
MOST_ELEMENTS = 3_000_000
"""Elements of one part; the largest workbook written here has fewer by far."""
MOST_CELLS = 100_000
"""Cells kept where single ones are asked for."""
_TYPED = say("it declares a document type")
_INSIDE = frozenset({"v", "f", "is", "t", "r", "rPr", "rPh", "phoneticPr"})
"""What stands inside a cell or a text and is kept until that ends."""


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell as it stands in the file: its kind (n number, s text, b true or false, e error), its text, any formula.

    ``shared`` is the number of a formula that several cells share; only the first of them holds its text.
    """

    kind: str
    text: str
    has_formula: bool
    formula: str = ""
    shared: str = ""


def sheet_parts(archive: Archive) -> dict[str, str]:
    """The part of every sheet by the sheet's title."""
    targets = {}
    for element in _elements(archive.part("xl/_rels/workbook.xml.rels"), ("Relationship",)):
        targets[element.get("Id", "")] = element.get("Target", "")
    parts = {}
    for element in _elements(archive.part("xl/workbook.xml"), ("sheet",)):
        target = next((targets.get(str(element.get(name))) for name in _RELATION if element.get(name)), None)
        if target:
            path = target.lstrip("/") if target.startswith("/") else posixpath.join("xl", target)
            parts[str(element.get("name", ""))] = posixpath.normpath(path)
    return parts


def read_cells(
    archive: Archive, wanted: Mapping[str, Set[str] | None], most: int = MOST_CELLS
) -> dict[tuple[str, str], Cell]:
    """The wanted cells that are there, by sheet title and address.

    Args:
        archive: the unpacked file.
        wanted: addresses by sheet title, None for every cell that holds something; a sheet that is missing is
            a refusal.
        most: cells at most; more are a refusal.

    """
    parts = sheet_parts(archive)
    missing = [title for title in wanted if title not in parts]
    if missing:
        raise refuse(
            say("sheet {missing} is missing", missing=repr(missing[0])), say("the sheets as they were written")
        )
    found: dict[tuple[str, str], Cell] = {}
    for title, addresses in wanted.items():
        for address, cell in _cells_of(archive.part(parts[title]), addresses):
            found[title, address] = cell
            if len(found) > most:
                raise refuse(
                    say("it holds far more than was written into it"),
                    say("at most {most} cells with something in them", most=most),
                )
    return _with_shared_texts(archive, found)


def _cells_of(part: bytes, addresses: Set[str] | None) -> Iterator[tuple[str, Cell]]:
    seen: set[str] = set()
    for element in _elements(part, ("c",)):
        address = str(element.get("r", ""))
        if addresses is not None and address not in addresses:
            continue
        cell = _cell(element)
        if addresses is None and not cell.text and not cell.has_formula:
            continue
        if address in seen:
            raise refuse(say("cell {address} is there twice", address=address))
        seen.add(address)
        yield address, cell


def _cell(element: etree._Element) -> Cell:
    kind = str(element.get("t", "n"))
    has_formula, text, formula, shared = False, "", "", ""
    for child in element:
        name = _local(child)
        if name == "f":
            has_formula, formula = True, (child.text or "")[:_LONGEST_TEXT]
            shared = str(child.get("si", "")) if child.get("t") == "shared" else ""
        elif name == "v":
            text = child.text or ""
        elif name == "is":
            text = _plain_text(child)
    if kind in ("inlineStr", "str"):
        kind = "s"
    elif kind == "s":
        kind = "shared"
    return Cell(kind, text[:_LONGEST_TEXT], has_formula, formula, shared)


def _with_shared_texts(archive: Archive, found: dict[tuple[str, str], Cell]) -> dict[tuple[str, str], Cell]:
    """Cells whose text stands in the shared table, with that text; the table is passed once and not kept."""
    wanted = {cell.text for cell in found.values() if cell.kind == "shared"}
    if not wanted:
        return found
    texts: dict[str, str] = {}
    for number, element in enumerate(_elements(archive.part("xl/sharedStrings.xml"), ("si",))):
        if str(number) in wanted:
            texts[str(number)] = _plain_text(element)[:_LONGEST_TEXT]
    if len(texts) != len(wanted):
        raise refuse(say("a text of a cell is missing from the table of texts"))
    return {
        place: replace(cell, kind="s", text=texts[cell.text]) if cell.kind == "shared" else cell
        for place, cell in found.items()
    }


def _plain_text(element: etree._Element) -> str:
    """All runs of a text, without its phonetic reading."""
    runs = []
    for child in element.iter():
        if _local(child) == "t" and _local(child.getparent()) != "rPh":
            runs.append(child.text or "")
    return "".join(runs)


def _elements(part: bytes, names: tuple[str, ...]) -> Iterator[etree._Element]:
    """Every element of these names, one at a time, each forgotten after use; no entity, no outside, no huge text."""
    if any("<!DOCTYPE".encode(code) in part for code in ("utf-8", "utf-16-le", "utf-16-be")):
        raise refuse(_TYPED)
    safe = {"resolve_entities": False, "no_network": True, "load_dtd": False, "huge_tree": False}
    try:
        for count, (_, element) in enumerate(etree.iterparse(io.BytesIO(part), events=("end",), **safe)):
            if count == 0 and element.getroottree().docinfo.doctype:
                raise refuse(_TYPED)
            if count > MOST_ELEMENTS:
                raise refuse(
                    say("one of its parts holds too much"), say("at most {most} elements a part", most=MOST_ELEMENTS)
                )
            name = _local(element)
            if name in names:
                yield element
            if name not in _INSIDE:
                _forget(element)
    except etree.XMLSyntaxError as error:
        raise refuse(say("one of its parts is not well-formed")) from error


def _forget(element: etree._Element) -> None:
    parent = element.getparent()
    element.clear()
    while parent is not None and element.getprevious() is not None:
        del parent[0]


def _local(element: etree._Element | None) -> str:
    if element is None or not isinstance(element.tag, str):
        return ""
    name = etree.QName(element)
    return name.localname
