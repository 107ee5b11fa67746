"""Texts as cells of CSV: as they are for machines, inert for people, whose spreadsheet runs what begins a formula."""

from __future__ import annotations

from typing import Literal

Profile = Literal["machine", "spreadsheet"]
# What a spreadsheet takes for the begin of a formula, with the full-width forms. Source: OWASP ASVS 5.0 1.2.10.
RUNS_AS_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\0", "＝", "＋", "－", "＠")
BYTE_ORDER_MARK = b"\xef\xbb\xbf"


def inert(text: str) -> str:
    """A text that no spreadsheet runs: an apostrophe before what would begin a formula.

    >>> inert("=1+1"), inert("Screw")
    ("'=1+1", 'Screw')
    """
    return f"'{text}" if text.startswith(RUNS_AS_FORMULA) else text


def encoded(text: str, profile: Profile) -> bytes:
    """UTF-8; with the byte order mark by which a spreadsheet knows it where people open the file."""
    return text.encode("utf-8-sig" if profile == "spreadsheet" else "utf-8", "replace")
