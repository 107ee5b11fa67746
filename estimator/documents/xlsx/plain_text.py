"""Text that a spreadsheet shows as it stands: no control characters, no more than a cell holds, never a formula."""

from __future__ import annotations

import re

CELL_LIMIT = 32_767
"""Characters a cell holds. Source: ECMA-376, application limits of spreadsheet programs, from memory."""
CUT_MARK = " … [cut]"
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f]")
_NOT_XML = re.compile("[\ud800-\udfff\ufffe\uffff]")
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")


def plain(text: str) -> str:
    r"""The text as a cell may hold it: control characters as their visible pictures, over-long text cut with a mark.

    Line ends stay; what a spreadsheet would read as an escape (``_x0041_``) is escaped itself.

    >>> plain("bell\x07"), plain("=1+1"), len(plain("x" * 40_000))
    ('bell␇', '=1+1', 32767)
    """
    if text.isascii() and text.isprintable() and len(text) <= CELL_LIMIT and "_x" not in text:
        return text
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    text = _CONTROL.sub(lambda match: chr(0x2400 + ord(match.group())), text)
    text = _ESCAPED.sub(r"_x005F_x\1_", _NOT_XML.sub("\ufffd", text))
    return _cut(text)


def _cut(text: str) -> str:
    """Cut to the cell's limit, counted in UTF-16 units as spreadsheets count."""
    if len(text.encode("utf-16-le")) // 2 <= CELL_LIMIT:
        return text
    room = (CELL_LIMIT - len(CUT_MARK)) * 2
    return text.encode("utf-16-le")[:room].decode("utf-16-le", "ignore") + CUT_MARK


def sheet_title(title: str) -> str:
    """A title as a sheet's tab may carry it: 31 characters, none of those that formulas use.

    >>> sheet_title("Checks: all of them / every last one of them")
    'Checks all of them  every last'
    """
    return "".join(ch for ch in plain(title) if ch not in "[]:*?/\\'")[:31].strip()
