"""The setting-out sheet: for every run its string line, and rib and place of every bracket and joint."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise

from estimator.attachment.records import Run, Seat
from estimator.cutting.records import TENTHS_PER_MM, Joint
from estimator.documents.language.lengths import feet_and_inches, whole_mm
from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.printing import print_wide
from estimator.documents.xlsx.looks import COUNT, NOTE, PLAIN, SUBTITLE, TEXT, WRAPPED, Look
from estimator.documents.xlsx.numbers.measures import keys_of
from estimator.documents.xlsx.page import Page
from estimator.documents.xlsx.tables import Column, Row, write_table
from estimator.units import System

TOP = 4
_LIST_WIDTH = 40.0
_UNITS: dict[System, str] = {"metric": "mm", "us": "ft, in"}


def write_setting_out(draft: Draft) -> None:
    """One row a run, or, without rails, one row a line of brackets."""
    t, setting_out = draft.t, draft.estimate.setting_out
    page = draft.page(t("Setting out"))
    names: dict[System, str] = {"metric": t("mm"), "us": t("feet and inches, to 1/16 in")}
    unit = "; ".join(names[system] for system in draft.formats.systems)
    about = t("Lengths in {unit}, along the roof's surface; ribs counted from the left.", unit=unit)
    both = len(draft.formats.systems) > 1
    page.head(t("Setting out"), "" if both else about)
    if both:  # the first column stands on both pages, and would cut it short on the second
        page.put(2, 2, about, SUBTITLE)
    joints = _joints_by_run(draft)
    rows = [_run_row(draft, run, joints.get(at_run, [])) for at_run, run in enumerate(setting_out.runs)]
    rows += [_seat_row(draft, list(seats)) for _, seats in groupby(setting_out.seats, key=_line_of_seat)]
    if not rows:
        page.put(TOP, 1, t("Nothing to set out."), PLAIN)
    else:
        placed = write_table(page, TOP, "SettingOut", _columns(draft), rows)
        for row_number, row in enumerate(rows, start=placed.first):
            lists = ("ribs", *(key for name in ("places", "gaps") for key, _ in keys_of(name, draft.units)))
            page.lines(row_number, max((str(row[key] or "") for key in lists), key=len), _LIST_WIDTH)
    _cautions(draft, page, TOP + len(rows) + 2)
    print_wide(draft, page, heads=TOP, across=len(draft.formats.systems))
    page.sheet.freeze_panes = f"B{TOP + 1}"


def _columns(draft: Draft) -> tuple[Column, ...]:
    t = draft.t
    return (
        Column("line", t("Line"), 34, WRAPPED),
        *_each_way(draft, "across", t("From the eave"), 13, TEXT),
        *_each_way(draft, "along", t("Begins at"), 13, TEXT),
        *_each_way(draft, "length", t("Length"), 13, TEXT),
        Column("count", t("Brackets"), 9, COUNT),
        Column("ribs", t("Ribs"), _LIST_WIDTH, WRAPPED),
        *_each_way(draft, "places", t("Places from the roof's edge"), _LIST_WIDTH, WRAPPED),
        *_each_way(draft, "gaps", t("From bracket to bracket"), _LIST_WIDTH, WRAPPED),
        *_each_way(draft, "joints", t("Joints from the rail's beginning"), 26, WRAPPED),
    )


def _each_way(draft: Draft, key: str, head: str, width: float, look: Look) -> Iterator[Column]:
    """A column of lengths as texts; one for each system, its unit in the head, where there are two."""
    keys = keys_of(key, draft.units)
    for each, system in keys:
        yield Column(each, f"{head} ({_UNITS[system]})" if len(keys) > 1 else head, width, look)


def _run_row(draft: Draft, run: Run, joints: Sequence[Joint]) -> Row:
    """A run across the ribs is placed from the roof's left edge, one along a rib from the eave."""
    across_ribs = run.axis == "x"
    begins = run.start_x if across_ribs else run.start_y
    places = [begins + each for each in run.attachments_mm]
    ribs = _ribs_at(draft, run.roof, places if across_ribs else [run.start_x])
    kinds = {"splice": "", "expansion": " " + draft.t("(expansion)")}
    return {
        "line": draft.reader.say(run.place),
        **_lengths(draft, "across", [run.start_y] if across_ribs else (), draft.t("along the rib")),
        **_lengths(draft, "along", [begins]),
        **_lengths(draft, "length", [run.length_mm]),
        "count": len(places),
        "ribs": ", ".join(ribs),
        **_lengths(draft, "places", places),
        **_lengths(draft, "gaps", [right - left for left, right in pairwise(places)]),
        **{
            key: "; ".join(_length(draft, each.at / TENTHS_PER_MM, system) + kinds[each.kind] for each in joints)
            for key, system in keys_of("joints", draft.units)
        },
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
        **_lengths(draft, "across", [seats[0].y]),
        **_lengths(draft, "along", [places[0]]),
        **_lengths(draft, "length", [places[-1] - places[0]]),
        "count": len(places),
        "ribs": ", ".join(_ribs_at(draft, seats[0].roof, places)),
        **_lengths(draft, "places", places),
        **_lengths(draft, "gaps", [right - left for left, right in pairwise(places)]),
        **_lengths(draft, "joints", ()),
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


def _length(draft: Draft, mm: float, system: System) -> str:
    return feet_and_inches(mm) if system == "us" else draft.formats.count(whole_mm(mm))


def _lengths(draft: Draft, key: str, lengths: Sequence[float], instead: str = "") -> dict[str, str]:
    """Lengths one after another in each of the reader's systems, by the columns' keys; ``instead`` where none are."""
    return {
        each: "; ".join(_length(draft, mm, system) for mm in lengths) or instead
        for each, system in keys_of(key, draft.units)
    }


def _cautions(draft: Draft, page: Page, row: int) -> None:
    for caution in draft.estimate.cautions:
        page.put(row, 1, draft.t(caution), NOTE)
        page.merge(row, 1, 9 + 6 * (len(draft.formats.systems) - 1))
        row += 1
