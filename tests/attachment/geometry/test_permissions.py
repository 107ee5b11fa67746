"""Silence is not permission: clamping zones that are not named, spans that nobody answers for."""

from dataclasses import replace
from datetime import date

import pytest

from estimator.attachment import limits_for, set_out
from estimator.attachment.geometry.permissions import spans_without_loads
from estimator.estimate import estimate
from estimator.job import CheckOverride, Choices, ClampingZone, Mounting
from estimator.layout import lay_out
from estimator.places import Place
from tests.builders import a_book, a_choice, a_job, a_module, a_roof, an_array
from tests.facts import facts

ON = date(2026, 6, 1)


def errors(found):
    return [finding.code for finding in found if finding.severity == "error"]


def laid(module, orientation="portrait", **choice):
    job = a_job(a_roof(arrays=(an_array(orientation=orientation),)), module=module)
    chosen = a_choice(**choice)
    return set_out(job, lay_out(job), chosen, limits_for(job, chosen)).findings


def test_a_module_without_clamping_zone_is_an_error():
    found = [each for each in laid(a_module(clamping_zone=None)) if each.severity == "error"]
    assert [each.code for each in found] == ["clamping_zone_missing"]


@pytest.mark.parametrize(
    ("orientation", "direction", "clamped"),
    [
        ("portrait", "across_ribs", "long_side"),
        ("landscape", "across_ribs", "short_side"),
        ("portrait", "along_ribs", "short_side"),
        ("landscape", "along_ribs", "long_side"),
    ],
)
def test_only_a_side_that_is_named_may_be_clamped(orientation, direction, clamped):
    """A clamp stands where a rail passes under a module's edge: rails along x meet the edges along y."""
    other = {"long_side": "short_side", "short_side": "long_side"}[clamped]
    named, silent = (a_module(clamping_zone=ClampingZone(**{side: (0.0, 0.5)})) for side in (clamped, other))
    assert "side_not_clampable" not in errors(laid(named, orientation, rail_direction=direction))
    assert "side_not_clampable" in errors(laid(silent, orientation, rail_direction=direction))


def test_without_rail_the_edges_that_cross_the_ribs_are_clamped():
    direct = {"arrangement": "direct", "rail": None, "stocks": ()}
    named, silent = (a_module(clamping_zone=ClampingZone(**{s: (0.0, 0.5)})) for s in ("short_side", "long_side"))
    assert "side_not_clampable" not in errors(laid(named, **direct))
    assert "side_not_clampable" in errors(laid(silent, **direct))


@pytest.mark.parametrize(
    ("mounting", "missing"),
    [
        (Mounting(), ("max_span", "max_cantilever", "spans_given_by")),
        (Mounting(max_span_mm=1200.0, max_cantilever_mm=350.0), ("spans_given_by",)),
        (Mounting(max_span_mm=1200.0, spans_given_by="An engineer"), ("max_cantilever",)),
        (Mounting(max_span_mm=1200.0, max_cantilever_mm=350.0, spans_given_by="An engineer"), ()),
    ],
)
def test_without_loads_spans_come_from_somebody_who_answers_for_them(mounting, missing):
    finding = spans_without_loads(a_job(mounting=mounting), a_choice())
    assert finding.severity == ("error" if missing else "note")
    text = str(finding.message)
    assert all(name in text for name in missing)
    assert ("An engineer" in text) == (not missing)


def test_no_override_lifts_a_job_without_loads_and_spans():
    mounting = Mounting(arrangement="rail_on_side", material="aluminium")
    override = CheckOverride("spans_without_loads", Place(subject="loads"), "it will do")
    made = estimate(a_job(mounting=mounting), a_book(), Choices(overrides=(override,)), ON)
    assert "spans_without_loads" in [check.code for check in made.errors]
    answered = replace(mounting, max_span_mm=1200.0, max_cantilever_mm=350.0, spans_given_by="An engineer")
    given = estimate(a_job(mounting=answered), a_book(), Choices(), ON)
    assert given.errors == ()
    assert any("An engineer" in facts(check.message) for check in given.checks)
