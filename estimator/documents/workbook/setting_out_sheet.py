"""The setting-out sheet: for every run its string line, and rib and place of every bracket and joint."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from itertools import groupby, pairwise

from estimator.attachment.records import Run, Seat
from estimator.cutting.records import TENTHS_PER_MM, Joint
from estimator.documents.lengths import feet_and_inches, whole_mm
from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.looks import COUNT, NOTE, PLAIN, TEXT, WRAPPED
from estimator.documents.workbook.page import Page
from estimator.documents.workbook.printing import print_wide
from estimator.documents.workbook.tables import Column, Row, write_table
from estimator.job import Job

TOP = 4
_LIST_WIDTH = 40.0


def write_setting_out(draft: Draft) -> None:
    """One row a run, or, without rails, one row a line of brackets."""
    t, setting_out = draft.t, draft.estimate.setting_out
    page = draft.page(t("Setting out"))
    unit = t("feet and inches, to 1/16 in") if _in_feet(draft) else t("mm")
    page.head(
        t("Setting out"), t("Lengths in {unit}, along the roof's surface; ribs counted from the left.", unit=unit)
    )
    joints = _joints_by_run(draft)
    rows = [_run_row(draft, run, joints.get(at_run, [])) for at_run, run in enumerate(setting_out.runs)]
    rows += [_seat_row(draft, list(seats)) for _, seats in groupby(setting_out.seats, key=_line_of_seat)]
    if not rows:
        page.put(TOP, 1, t("Nothing to set out."), PLAIN)
    else:
        placed = write_table(page, TOP, "SettingOut", _columns(draft), rows)
        for row_number, row in enumerate(rows, start=placed.first):
            texts = (str(row["ribs"] or ""), str(row["places"] or ""), str(row["gaps"] or ""))
            page.lines(row_number, max(texts, key=len), _LIST_WIDTH)
    _cautions(draft, page, TOP + len(rows) + 2)
    print_wide(draft, page, heads=TOP)
    page.sheet.freeze_panes = f"B{TOP + 1}"


def _columns(draft: Draft) -> tuple[Column, ...]:
    t = draft.t
    return (
        Column("line", t("Line"), 34, WRAPPED),
        Column("across", t("From the eave"), 13, TEXT),
        Column("along", t("Begins at"), 13, TEXT),
        Column("length", t("Length"), 13, TEXT),
        Column("count", t("Brackets"), 9, COUNT),
        Column("ribs", t("Ribs"), _LIST_WIDTH, WRAPPED),
        Column("places", t("Places from the roof's edge"), _LIST_WIDTH, WRAPPED),
        Column("gaps", t("From bracket to bracket"), _LIST_WIDTH, WRAPPED),
        Column("joints", t("Joints from the rail's beginning"), 26, WRAPPED),
    )


def _run_row(draft: Draft, run: Run, joints: Sequence[Joint]) -> Row:
    """A run across the ribs is placed from the roof's left edge, one along a rib from the eave."""
    across_ribs = run.axis == "x"
    begins = run.start_x if across_ribs else run.start_y
    places = [begins + each for each in run.attachments_mm]
    ribs = _ribs_at(draft, run.roof, places if across_ribs else [run.start_x])
    kinds = {"splice": "", "expansion": " " + draft.t("(expansion)")}
    return {
        "line": draft.reader.say(run.label),
        "across": _length(draft, run.start_y) if across_ribs else draft.t("along the rib"),
        "along": _length(draft, begins),
        "length": _length(draft, run.length_mm),
        "count": len(places),
        "ribs": ", ".join(ribs),
        "places": _list(draft, places),
        "gaps": _list(draft, [right - left for left, right in pairwise(places)]),
        "joints": "; ".join(_length(draft, each.at / TENTHS_PER_MM) + kinds[each.kind] for each in joints),
    }


def _line_of_seat(seat: Seat) -> tuple[int, int, int]:
    return seat.roof, seat.array, seat.seam


def _seat_row(draft: Draft, seats: list[Seat]) -> Row:
    """Brackets without a rail, on one line between two rows of modules."""
    seats = sorted(seats, key=lambda seat: seat.x)
    roof = draft.estimate.job.roofs[seats[0].roof]
    array = roof.arrays[seats[0].array]
    places = [seat.x for seat in seats]
    return {
        "line": draft.t("{roof}, {array}, line {number}", roof=roof.name, array=array.name, number=seats[0].seam + 1),
        "across": _length(draft, seats[0].y),
        "along": _length(draft, places[0]),
        "length": _length(draft, places[-1] - places[0]),
        "count": len(places),
        "ribs": ", ".join(_ribs_at(draft, seats[0].roof, places)),
        "places": _list(draft, places),
        "gaps": _list(draft, [right - left for left, right in pairwise(places)]),
        "joints": "",
    }


def _ribs_at(draft: Draft, roof: int, places: Sequence[float]) -> list[str]:
    """The numbers, from the left, of the ribs nearest to these places."""
    ribs = next((each.ribs_x for each in draft.estimate.layout.roofs if each.roof == roof), ())
    return [str(_nearest(ribs, place) + 1) for place in places] if ribs else []


def _nearest(ribs: Sequence[float], place: float) -> int:
    at_rib = min(bisect_left(ribs, place), len(ribs) - 1)
    if at_rib and abs(ribs[at_rib - 1] - place) <= abs(ribs[at_rib] - place):
        return at_rib - 1
    return at_rib


def _joints_by_run(draft: Draft) -> dict[int, list[Joint]]:
    plan = draft.estimate.cut_plan
    found: dict[int, list[Joint]] = {}
    for joint in plan.joints if plan else ():
        found.setdefault(joint.run, []).append(joint)
    return found


def _in_feet(draft: Draft) -> bool:
    job: Job = draft.estimate.job
    return job.display_units == "us"


def _length(draft: Draft, mm: float) -> str:
    return feet_and_inches(mm) if _in_feet(draft) else draft.formats.count(whole_mm(mm))


def _list(draft: Draft, lengths: Sequence[float]) -> str:
    return "; ".join(_length(draft, each) for each in lengths)


def _cautions(draft: Draft, page: Page, row: int) -> None:
    for caution in draft.estimate.cautions:
        page.put(row, 1, draft.t(caution), NOTE)
        page.merge(row, 1, 9)
        row += 1
