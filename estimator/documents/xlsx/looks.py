"""How cells look: one small record, turned into a workbook's shared style once and used for every cell alike."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Literal

from openpyxl import Workbook
from openpyxl.cell import Cell
from openpyxl.styles import Alignment, Border, Font, PatternFill, Protection, Side
from openpyxl.utils.indexed_list import IndexedList

from estimator.documents import style

_HAIRLINE = Side(style="hair", color=f"FF{style.RULE}")
_THIN = Side(style="thin", color=f"FF{style.BLUE}")
_EDGE = Side(style="thin", color=f"FF{style.INK}")
_BOX = Side(style="thin", color=f"FF{style.OCHRE}")


@dataclass(frozen=True, slots=True)
class Look:
    """The look of a cell.

    ``rule``: none, a hairline below, a line above (sums), a box (cells to be filled in), an edge (drawn bars).
    """

    number_format: str = "General"
    size: float = 9.0
    bold: bool = False
    italic: bool = False
    underline: bool = False
    colour: str = style.INK
    fill: str = ""
    across: Literal["general", "left", "center", "right"] = "general"
    wrap: bool = False
    middle: bool = False
    rule: Literal["", "below", "above", "box", "edge"] = ""
    unlocked: bool = False


TITLE = Look(size=17, bold=True, colour=style.BLUE)
SUBTITLE = Look(size=9, colour=style.MUTED)
HEADING = Look(size=11, bold=True, colour=style.BLUE)
TEXT = Look(across="left", rule="below")
WRAPPED = replace(TEXT, wrap=True)
NOTE = Look(size=8, colour=style.MUTED, across="left", wrap=True)
LABEL = Look(colour=style.MUTED, across="left", rule="below")
SMALL = Look(size=7.5, colour=style.MUTED, across="left", wrap=True, rule="below")
PLAIN = Look(across="left")
STRONG = Look(bold=True, across="left")
LINK = Look(colour=style.BLUE, underline=True, across="left", rule="below")
HEAD = Look(bold=True, colour=style.PAPER, fill=style.BLUE, across="center", wrap=True, middle=True)
LINE = Look(number_format="0", colour=style.MUTED, across="center", rule="below")
COUNT = Look(number_format="#,##0", across="right", rule="below")
PERCENT = Look(number_format="0.00%", across="right", rule="below")
MASS = Look(number_format="#,##0.000", across="right", rule="below")
HOURS = Look(number_format="#,##0.00", across="right", rule="below")
CAUTION = Look(fill=style.OCHRE_TINT, across="left", wrap=True, rule="below")


def as_input(look: Look) -> Look:
    """The look of a cell that the estimator may change: unlocked, tinted, boxed."""
    return replace(look, fill=style.OCHRE_TINT, rule="box", unlocked=True)


def as_total(look: Look) -> Look:
    """The look of a sum: bold under a line."""
    return replace(look, bold=True, fill=style.BLUE_TINT, rule="above")


_RULES = {
    "": Border(),
    "below": Border(bottom=_HAIRLINE),
    "above": Border(top=_THIN),
    "edge": Border(top=_EDGE, bottom=_EDGE, left=_EDGE, right=_EDGE),
    "box": Border(top=_BOX, bottom=_BOX, left=_BOX, right=_BOX),
}


class _Font(Font):
    """A font whose elements stand in the order that the schema of the format asks for; the library's own do not."""

    __elements__ = (
        "b", "i", "strike", "condense", "extend", "outline", "shadow", "u", "vertAlign", "sz", "color", "name",
        "family", "charset", "scheme",
    )  # fmt: skip
    __attrs__, __nested__ = Font.__attrs__, Font.__nested__


def _order_first_font(workbook: Any) -> None:  # noqa: ANN401
    """The font that every new workbook comes with, its elements in order."""
    first = workbook._fonts[0]
    workbook._fonts = IndexedList([_Font(**{name: getattr(first, name) for name in _Font.__elements__})])


class Looks:
    """The styles of one workbook, each registered once."""

    def __init__(self, workbook: Workbook) -> None:
        self._workbook = workbook
        _order_first_font(workbook)
        self._known: dict[Look, Any] = {}
        self._seen: dict[int, tuple[Look, Any]] = {}

    def style_of(self, look: Look) -> Any:  # noqa: ANN401  openpyxl's own style record has no public name
        """The workbook's style record for a look, shared by every cell that wears it."""
        seen = self._seen.get(id(look))  # the look is kept beside its style, so its identity stays its own
        if seen is not None:
            return seen[1]
        if look not in self._known:
            self._known[look] = self._registered(look)
        self._seen[id(look)] = look, self._known[look]
        return self._known[look]

    def _registered(self, look: Look) -> Any:  # noqa: ANN401
        cell: Any = Cell(self._workbook.worksheets[0], row=1, column=1)
        cell.font = _Font(
            name=style.WORKBOOK_FONT,
            size=look.size,
            bold=look.bold,
            italic=look.italic,
            color=f"FF{look.colour}",
            underline="single" if look.underline else None,
        )
        if look.fill:
            cell.fill = PatternFill("solid", fgColor=f"FF{look.fill}")
        cell.border = _RULES[look.rule]
        upright = "center" if look.middle else "top"
        indent = 1 if look.across == "left" and look.rule in ("below", "box", "above") else 0
        cell.alignment = Alignment(look.across, upright, wrap_text=look.wrap or None, indent=indent)
        cell.number_format = look.number_format
        cell.protection = Protection(locked=not look.unlocked)
        return cell._style
