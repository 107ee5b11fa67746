"""The saw list as a sheet: one row a piece, to be filtered by bar, by run or by part."""

from __future__ import annotations

from estimator.documents.sawing.pieces import SawPiece, sawn_pieces
from estimator.documents.sawing.sheet_columns import piece_heads, piece_lengths
from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.printing import print_wide
from estimator.documents.xlsx.looks import COUNT, PLAIN, TEXT, Look
from estimator.documents.xlsx.numbers.measures import length_looks, measured_columns
from estimator.documents.xlsx.tables import Column, Row, write_table

TOP = 4


def write_saw_list(draft: Draft) -> None:
    """Every piece that is sawn with its bar and its label; nothing where the job has no rails."""
    plan, t = draft.estimate.cut_plan, draft.t
    if plan is None:
        return
    page = draft.page(t("Saw list"))
    page.head(t("Saw list"), t("Bars cut alike share a pattern; mark each piece with its label at the saw."))
    rows = [_row(draft, piece) for piece in sawn_pieces(plan, draft.estimate.job.reference)]
    if not rows:
        page.put(TOP, 1, t("Nothing is cut."), PLAIN)
    else:
        write_table(page, TOP, "SawList", _columns(draft), rows)
    print_wide(draft, page, heads=TOP)
    page.sheet.freeze_panes = f"A{TOP + 1}"


def _columns(draft: Draft) -> tuple[Column, ...]:
    t, units, looks = draft.t, draft.units, length_looks(Look(across="right", rule="below"))
    heads = piece_heads(t, units)
    return (
        Column("pattern", t("Pattern"), 9, COUNT),
        Column("bar", t("Bar"), 8, COUNT),
        Column("part", t("Part"), 20, TEXT),
        *measured_columns("stock", heads, units, 12, looks),
        Column("cut", t("Cut"), 7, COUNT),
        *measured_columns("length", heads, units, 12, looks),
        Column("label", t("Label"), 52, TEXT),
        *measured_columns("start", heads, units, 14, looks),
        *measured_columns("offcut", heads, units, 12, looks),
        Column("kept", t("Off-cut"), 14, TEXT),
    )


def _row(draft: Draft, piece: SawPiece) -> Row:
    return {
        "pattern": piece.pattern,
        "bar": piece.bar,
        "part": piece.part,
        **piece_lengths(piece, draft.units),
        "cut": piece.cut,
        "label": draft.reader.say(piece.label),
        "kept": draft.t("keep") if piece.offcut_kept else draft.t("scrap"),
    }
