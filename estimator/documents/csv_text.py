"""Texts as cells of CSV: as they are for machines, inert for people, whose spreadsheet runs what begins a formula."""

from __future__ import annotations

import re
from typing import Literal

Profile = Literal["machine", "spreadsheet"]
# What a spreadsheet takes for the start of a formula, with the full-width forms. Source: OWASP ASVS 5.0 1.2.10.
RUNS_AS_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\0", "＝", "＋", "－", "＠")
_AFTER_A_SEPARATOR = re.compile(r"""([,;|\t])(["']*[=+\-@＝＋－＠])""")
BYTE_ORDER_MARK = b"\xef\xbb\xbf"


def inert(text: str) -> str:
    r"""A text that no spreadsheet runs: an apostrophe before what would begin a formula.

    A spreadsheet of another country has another separator of cells, and the rest of a text then stands in a cell of its
    own: what follows a separator of any of them is made inert as well, behind quotation marks, too.

    >>> inert("=1+1"), inert("Screw"), inert("Screw;=1+1"), inert('a,"=1+1"')
    ("'=1+1", 'Screw', "Screw;'=1+1", 'a,\'"=1+1"')
    """
    parted = _AFTER_A_SEPARATOR.sub(r"\1'\2", text)
    return f"'{parted}" if text.startswith(RUNS_AS_FORMULA) else parted


def encoded(text: str, profile: Profile) -> bytes:
    """UTF-8; with the byte order mark by which a spreadsheet knows it where people open the file."""
    return text.encode("utf-8-sig" if profile == "spreadsheet" else "utf-8", "replace")
