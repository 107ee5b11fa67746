from dataclasses import replace
from itertools import pairwise

import pytest

from estimator.attachment import LimitSteps, limits_for, set_out
from estimator.job import KeepClear, Mounting, Obstruction
from estimator.layout import lay_out
from estimator.places import Place
from tests.builders import a_choice, a_job, a_roof, an_array, some_limits, some_ribs
from tests.facts import facts


def out(job=None, limits=None, **choice):
    job = job or a_job()
    return set_out(job, lay_out(job), a_choice(**choice), limits or some_limits())


def rib_numbers(run):
    return [round((run.start_x + at - 150.0) / 300.0, 6) for at in run.attachments_mm]


def test_every_attachment_stands_on_a_rib():
    assert all(number == int(number) for run in out().runs for number in rib_numbers(run))


def test_rows_above_one_another_use_the_same_ribs_unless_staggered():
    limits = some_limits(1550.0, 750.0)
    assert len({run.attachments_mm for run in out(limits=limits).runs}) == 1
    staggered = [set(run.attachments_mm) for run in out(limits=limits, stagger=True).runs]
    assert all(not below & above for below, above in pairwise(staggered))
    assert [len(ribs) for ribs in staggered] == [len(run.attachments_mm) for run in out(limits=limits).runs]


def test_staggering_costs_no_attachment_where_there_is_no_choice():
    # ribs 1200 apart allow one choice only
    job = a_job(a_roof(ribs=some_ribs(spacing_mm=1200.0, first_at_mm=1200.0)))
    assert out(job, stagger=True).runs[1].attachments_mm == out(job).runs[1].attachments_mm


def test_limits_are_those_given_in_the_job_before_those_of_rail_and_bracket():
    limits = limits_for(a_job(), a_choice())
    assert (limits.max_span_mm, limits.span_source) == (1250.0, "rail R-AL")
    assert (limits.max_cantilever_mm, limits.cantilever_source) == (350.0, "rail R-AL")
    given = a_job(mounting=Mounting(max_span_mm=900.0, max_cantilever_mm=200.0))
    limits = limits_for(given, a_choice())
    assert (limits.max_span_mm, limits.span_source) == (900.0, "given in the job")
    assert (limits.max_cantilever_mm, limits.cantilever_source) == (200.0, "given in the job")


def test_a_bracket_weaker_than_the_rail_sets_the_span():
    choice = a_choice()
    choice = replace(choice, bracket=replace(choice.bracket, max_span_mm=600.0))
    assert limits_for(a_job(), choice).span_source == "bracket B-AL"


def test_without_a_rail_there_is_no_cantilever_limit():
    limits = limits_for(a_job(), a_choice(arrangement="direct"))
    assert (limits.max_span_mm, limits.span_source, limits.cantilever_source) == (1300.0, "bracket B-AL", "no rail")


def test_ribs_further_apart_than_the_span_allowed_are_an_error_naming_run_and_excess():
    job = a_job(a_roof(ribs=some_ribs(spacing_mm=1400.0, first_at_mm=1200.0)))
    set_out_ = out(job)
    span = next(finding for finding in set_out_.findings if finding.code == "span_too_long")
    assert (span.found, span.allowed, span.unit) == (1400.0, 1250.0, "mm")
    assert span.place == Place(roof="South", array="A", row=1, rail=1)
    assert {150.0} <= {*facts(span.message)} and "rail R-AL" in facts(span.message)
    # the run is still drawn, on the ribs there are: 1200, 2600, 4000
    assert [run.start_x + at for run in set_out_.runs[:1] for at in run.attachments_mm] == [1200.0, 2600.0, 4000.0]


@pytest.mark.parametrize(
    ("first_at", "side", "found", "move"),
    [(1450.0, "left", 500.0, 150.0), (1250.0, "right", 440.0, 90.0)],
)
def test_a_rail_end_too_far_from_a_rib_is_an_error_with_what_would_help(first_at, side, found, move):
    # rails from 950 to 4090; ribs every 1200
    job = a_job(a_roof(ribs=some_ribs(spacing_mm=1200.0, first_at_mm=first_at)))
    finding = next(each for each in out(job).findings if each.code == "cantilever_too_long")
    assert (finding.found, finding.allowed) == (found, 350.0)
    assert finding.place == Place(roof="South", array="A", row=1, rail=1, end=side)
    assert move in facts(finding.message)


def test_a_rail_over_one_rib_only_is_an_error():
    job = a_job(a_roof(ribs=some_ribs(first_at_mm=2000.0, spacing_mm=20_000.0)))
    finding = out(job).findings[0]
    assert (finding.code, finding.found, finding.allowed) == ("too_few_ribs_under_rail", 1.0, 2.0)


def test_a_rail_end_past_the_edge_of_the_plane_is_an_error():
    found = out(a_job(a_roof(arrays=(an_array(x_mm=20.0),)))).findings
    (finding,) = [each for each in found if each.code == "rail_off_plane"]
    assert finding.found == 30.0 and 4 in facts(finding.message)
    assert finding.place == Place(roof="South", array="A", row=1, rail=1, side="left")


def test_a_rail_end_in_a_strip_to_be_kept_clear_is_an_error():
    job = a_job(a_roof(keep_clear=KeepClear(right_mm=12_000.0 - 4060.0)))
    (finding,) = out(job).findings
    assert (finding.code, finding.found) == ("rail_in_keep_clear", 30.0)
    along = out(a_job(a_roof(keep_clear=KeepClear(eave_mm=460.0))), rail_direction="along_ribs").findings
    errors = [(each.code, each.found) for each in along if each.severity == "error"]
    assert errors == [("rail_in_keep_clear", 10.0)]


def test_a_rail_that_reaches_an_obstruction_beside_its_array_is_an_error():
    vent = Obstruction("vent", 4050.0, 800.0, 200.0, 100.0)
    found = out(a_job(a_roof(obstructions=(vent,)))).findings
    (finding,) = [each for each in found if each.code == "rail_on_obstruction"]
    # the rail at 874 enters it by 40 along x; 26 up the slope would clear it, too
    assert finding.found == 26.0 and finding.place.rail == 1


def test_limits_may_change_from_run_to_run_and_along_a_run():
    job = a_job()

    def along(run):
        return (LimitSteps((1000.0,), (400.0, 1250.0)) if run.line == 0 else 1250.0), 350.0

    runs = set_out(job, lay_out(job), a_choice(), some_limits(), limits_along=along).runs
    assert runs[0].attachments_mm == (100.0, 400.0, 700.0, 1000.0, 1900.0, 2800.0)
    assert runs[2].attachments_mm == (100.0, 1000.0, 1900.0, 2800.0)


def test_ribs_that_begin_left_of_the_plane_serve_from_the_edge_on():
    job = a_job(a_roof(ribs=some_ribs(first_at_mm=-450.0)))
    assert out(job).runs[0].attachments_mm == out().runs[0].attachments_mm


def test_choices_that_have_no_effect_are_noted():
    found = out(rail_direction="along_ribs", rails_per_row=3, stagger=True).findings
    codes = [finding.code for finding in found if finding.place.subject == "mounting"]
    assert codes == ["rails_per_row_without_use", "stagger_without_use"]
    assert {finding.severity for finding in out(arrangement="direct", stagger=True).findings} == {"note"}
