"""The crew's sheet: every bracket once, its rib and distances right, in the crew's units."""

import math
from collections import Counter
from dataclasses import replace
from itertools import pairwise

import pytest

from estimator.documents.drawing.plan import plans_of
from estimator.documents.language.lengths import feet_and_inches
from estimator.documents.plan.dxf import write_plan_dxf
from estimator.documents.plan.svg import write_plan_svg
from estimator.documents.setting_out.lines import setting_out_of
from estimator.documents.setting_out.pdf import write_setting_out
from estimator.job import Choices
from tests.builders import a_job
from tests.documents.offers import CUSTOMER, DATED, NAMES, a_header, an_offer, house_book, long_roof
from tests.documents.pdf_reading import pages, text
from tests.searches import offer


@pytest.mark.parametrize("name", NAMES)
def test_every_bracket_stands_on_the_sheet_once(name):
    estimate = an_offer(name).estimate
    for roof, counts in zip(setting_out_of(estimate), estimate.counts.roofs, strict=True):
        assert sum(len(group.brackets) * len(group.lines) for group in roof.groups) == counts.counts.attachments


@pytest.mark.parametrize("name", NAMES)
def test_every_splice_stands_on_the_sheet_once(name):
    estimate = an_offer(name).estimate
    found = Counter(
        splice.kind
        for roof in setting_out_of(estimate)
        for group in roof.groups
        for line in group.lines
        for splice in line.splices
    )
    counts = estimate.counts.counts
    assert (found["splice"], found["expansion"]) == (counts.splices, counts.expansion_splices)


@pytest.mark.parametrize("name", ["plain", "long", "direct", "us"])
def test_a_brackets_rib_stands_at_its_distance_and_spacings_add_up(name):
    estimate = an_offer(name).estimate
    for roof in setting_out_of(estimate):
        for group in roof.groups:
            for bracket in group.brackets:
                assert bracket.rib is not None
                at = roof.first_rib_mm + (bracket.rib - 1) * roof.rib_spacing_mm
                assert at == pytest.approx(bracket.from_edge_mm, abs=0.01)
            steps = [bracket.from_previous_mm for bracket in group.brackets[1:]]
            walked = group.brackets[0].from_edge_mm + sum(steps)
            assert walked == pytest.approx(group.brackets[-1].from_edge_mm, abs=0.01)
            assert group.brackets[0].from_previous_mm is None


def test_a_rail_along_the_ribs_names_the_rib_it_stands_on():
    estimate = an_offer("along").estimate
    (roof,) = setting_out_of(estimate)
    for group in roof.groups:
        for line in group.lines:
            assert roof.first_rib_mm + (line.rib - 1) * roof.rib_spacing_mm == pytest.approx(line.at_mm)


def test_the_string_lines_of_a_plain_job_worked_by_hand():
    # Rows begin at 500 and 500 + 1700 + 20 = 2220; rails at 0.22 and 0.78 of 1700: 374 and 1326 above.
    (roof,) = setting_out_of(an_offer("plain").estimate)
    (group,) = roof.groups
    assert [line.at_mm for line in group.lines] == pytest.approx([874.0, 1826.0, 2594.0, 3546.0])
    assert group.ends_mm == pytest.approx((950.0, 4090.0))
    found = text(write_setting_out(an_offer("plain"), a_header()))
    for wanted in ("874 mm", "1,826 mm", "2,594 mm", "3,546 mm", "Rail from 950 mm to 4,090 mm, 3,140 mm long."):
        assert wanted in found


def test_seams_say_which_clamp_holds_where():
    (roof,) = setting_out_of(an_offer("direct").estimate)
    clamps = Counter(b.clamp for group in roof.groups for b in group.brackets for _ in group.lines)
    counts = an_offer("direct").estimate.counts.counts
    assert clamps == {"mid_clamp": counts.mid_clamps, "end_clamp": counts.end_clamps}


def test_a_crew_in_the_united_states_reads_feet_and_sixteenths():
    found = text(write_setting_out(an_offer("us"), a_header()))
    (roof,) = setting_out_of(an_offer("us").estimate)
    for bracket in roof.groups[0].brackets:
        assert feet_and_inches(bracket.from_edge_mm) in found
    assert " mm" not in found


@pytest.mark.parametrize("name", NAMES)
def test_the_sheet_says_how_to_measure_with_what_and_with_which_care(name):
    offer = an_offer(name)
    found = text(write_setting_out(offer, a_header()))
    for wanted in ("How to measure", "rib 1 is the first from the left roof edge", "fall protection", "torque wrench",
                   *offer.estimate.cautions):  # fmt: skip
        assert wanted in found


def test_a_sheet_of_a_draft_says_not_to_build_from_it():
    assert all("do not build" in page for page in pages(write_setting_out(an_offer(), a_header(state="draft"))))
    assert "do not build" not in text(write_setting_out(an_offer(), a_header(state="accepted")))


def test_the_sheet_names_no_price():
    found = text(write_setting_out(an_offer("plain"), a_header()))
    assert "€" not in found
    assert "EUR" not in found
    assert f"{an_offer('plain').estimate.bill.totals.total.amount:,.2f}" not in found


def test_the_same_offer_gives_the_same_sheet():
    assert write_setting_out(an_offer("long"), a_header()) == write_setting_out(an_offer("long"), a_header())


def test_the_crew_reads_screws_gap_first_corner_and_the_diagonal_that_proves_squareness():
    # Two rows of three modules, 1000 x 1700 with gaps of 20, from (1000, 500): 3040 by 3420, diagonal 4575.8 mm.
    offer = an_offer("plain")
    (roof,) = setting_out_of(offer.estimate)
    (outline,) = roof.outlines
    assert (outline.x_mm, outline.y_mm) == (1000.0, 500.0)
    assert outline.diagonal_mm == pytest.approx(math.sqrt(outline.width_mm**2 + outline.height_mm**2))
    found = text(write_setting_out(offer, a_header()))
    assert "corner stands 1,000 mm from the left roof edge and 500 mm up from the eave" in found
    screws = sum(line.line.net for line in offer.estimate.bill.lines if line.line.role == "screw")
    each = screws // offer.estimate.counts.counts.attachments
    assert f"Screws in each bracket: {each} ×" in found


def test_parts_of_a_row_are_named_as_the_checks_name_them():
    estimate = an_offer("long").estimate
    labels = {str(run.place) for run in estimate.setting_out.runs}
    named = set()
    for roof in setting_out_of(estimate):
        for group in roof.groups:
            for line in group.lines:
                part = "" if line.part is None else f", part {line.part}"
                named.add(f"{roof.name} / {group.array} / row {line.row}{part} / rail {line.rail}")
    assert named == labels
    assert any(", part 2" in label for label in labels)


def test_every_array_begins_on_a_page_of_its_own():
    roof = long_roof()
    second = replace(roof.arrays[0], name="Z", x_mm=0.0, y_mm=6000.0, columns=4, omit=frozenset())
    job = a_job(replace(roof, slope_length_mm=14_000.0, arrays=(*roof.arrays, second)), customer=CUSTOMER)
    made = offer(job, house_book(), Choices(), DATED)
    found = [page for page in pages(write_setting_out(made, a_header())) if "Array Z" in page and "outline" in page]
    assert len(found) == 1
    assert f"Array {roof.arrays[0].name}:" not in found[0]


@pytest.fixture(scope="module")
def with_gaps():
    """Gaps of 20 mm, but 95 mm after columns 2 and 4 and above row 1."""
    roof = long_roof()
    wide = replace(roof.arrays[0], rows=2, columns=6, omit=frozenset(), wider_gaps=((4, 95.0), (2, 95.0)),
                   wider_row_gaps=((1, 95.0),))  # fmt: skip
    job = a_job(replace(roof, slope_length_mm=9_000.0, arrays=(wide,)), customer=CUSTOMER)
    return offer(job, house_book(), Choices(), DATED)


def test_the_crew_reads_the_gaps_between_modules_and_what_clamps_stand_there(with_gaps):
    (array,) = with_gaps.estimate.job.roofs[0].arrays
    found = " ".join(text(write_setting_out(with_gaps, a_header())).split())
    assert f"apart along the eave and {array.gap_y_mm:g} mm apart up the slope" in found
    assert f"Array {array.name}: modules stand 95 mm apart after column 2, 4." in found
    assert f"Array {array.name}: modules stand 95 mm apart after row 1." in found
    assert "every rail takes two end clamps and no mid clamp" in found


def test_plans_name_gaps_that_are_wider_than_the_others(with_gaps):
    """In the drawing for the screen and in the one for CAD alike; the modules stand where the gaps put them."""
    svg = write_plan_svg(with_gaps, a_header()).decode()
    dxf = write_plan_dxf(with_gaps, a_header()).decode()
    for drawing in (svg, dxf):
        assert "modules stand 95 mm apart after column 2, 4." in drawing
    (plan,) = plans_of(with_gaps.estimate)
    row = sorted(box for box in plan.modules if box[1] == min(each[1] for each in plan.modules))
    gaps = [round(b[0] - a[2], 6) for a, b in pairwise(row)]
    assert gaps == [20.0, 95.0, 20.0, 95.0, 20.0]
