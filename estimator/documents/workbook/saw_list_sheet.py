"""The saw list as a sheet: one row a piece, to be filtered by bar, by run or by part."""

from __future__ import annotations

from decimal import Decimal

from estimator.documents.saw_list import SawPiece, saw_pieces
from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.looks import COUNT, PLAIN, TEXT, Look
from estimator.documents.workbook.printing import print_wide
from estimator.documents.workbook.tables import Column, Row, write_table

TOP = 4
_MM = Look(number_format="#,##0.0", across="right", rule="below")


def write_saw_list(draft: Draft) -> None:
    """Every piece of the cut plan with its bar and its label; nothing where the job has no rails."""
    plan, t = draft.estimate.cut_plan, draft.t
    if plan is None:
        return
    page = draft.page(t("Saw list"))
    page.head(t("Saw list"), t("Bars cut alike share a pattern; mark each piece with its label at the saw."))
    rows = [_row(draft, piece) for piece in saw_pieces(plan, draft.estimate.job.reference)]
    if not rows:
        page.put(TOP, 1, t("Nothing is cut."), PLAIN)
    else:
        write_table(page, TOP, "SawList", _columns(draft), rows)
    print_wide(draft, page, heads=TOP)
    page.sheet.freeze_panes = f"A{TOP + 1}"


def _columns(draft: Draft) -> tuple[Column, ...]:
    t = draft.t
    return (
        Column("pattern", t("Pattern"), 9, COUNT),
        Column("bar", t("Bar"), 8, COUNT),
        Column("part", t("Part"), 20, TEXT),
        Column("stock", t("Bar length (mm)"), 12, _MM),
        Column("cut", t("Cut"), 7, COUNT),
        Column("length", t("Piece (mm)"), 12, _MM),
        Column("label", t("Label"), 52, TEXT),
        Column("start", t("Begins in the run at (mm)"), 14, _MM),
        Column("offcut", t("Left of the bar (mm)"), 12, _MM),
        Column("kept", t("Left piece"), 14, TEXT),
    )


def _row(draft: Draft, piece: SawPiece) -> Row:
    return {
        "pattern": piece.pattern,
        "bar": piece.bar,
        "part": piece.part,
        "stock": _mm(piece.stock_mm),
        "cut": piece.cut,
        "length": _mm(piece.length_mm),
        "label": draft.reader.say(piece.label),
        "start": _mm(piece.start_in_run_mm),
        "offcut": _mm(piece.offcut_mm),
        "kept": draft.t("keep") if piece.offcut_kept else draft.t("scrap"),
    }


def _mm(value: float) -> Decimal:
    return Decimal(repr(round(value, 1)))
