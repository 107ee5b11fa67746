"""Loads as they are posted: one record for each standard, and nothing read past in silence."""

import pytest
from marshmallow import ValidationError

from estimator.contract.fault_codes import code_of
from estimator.contract.faults import faults_of
from estimator.contract.requests.posted_job.loads import LoadsSchema
from estimator.site_loads import AsceLoads, Building, EnLoads, GivenLoads, GivenPressure
from tests.facts import facts


def test_each_standard_has_its_record():
    building = {"length": 24_000, "width": 11_000}
    read = LoadsSchema().load
    assert read({"standard": "asce7-22", "exposure": "C", "roof_form": "gable", "building": building}) == AsceLoads(
        "asce7-22", exposure="C", building=Building(roof_form="gable", length_mm=24_000.0, width_mm=11_000.0)
    )
    assert read({"standard": "en1991", "terrain": "II", "altitude": "320 m"}) == EnLoads(
        terrain="II", altitude_mm=320_000.0
    )
    assert read({"standard": "given", "given": [{"zone": "all", "uplift": 900, "downward": 1200}]}) == GivenLoads(
        (GivenPressure("all", 900.0, 1200.0, None),)
    )


def test_a_wind_speed_stays_in_the_unit_of_its_standard():
    for mph in (85, 97, 105, 108, 110, 115, 123.4, 180):
        assert LoadsSchema().load({"standard": "asce7-16", "wind_speed": f"{mph} mph"}).wind_speed_mph == mph
    for m_s in (22, 26, 27.5):
        assert LoadsSchema().load({"standard": "en1991", "wind_speed": f"{m_s} m/s"}).wind_speed_m_s == m_s
        assert LoadsSchema().load({"standard": "en1991", "wind_speed": m_s}).wind_speed_m_s == m_s


@pytest.mark.parametrize(
    ("standard", "field", "value"),
    [
        ("asce7-16", "terrain", "II"),
        ("asce7-22", "altitude", 300_000),
        ("asce7-22", "snow_retained", True),
        ("en1991", "method", "asd"),
        ("en1991", "risk_category", "II"),
        ("en1991", "topographic_factor", 1.2),
        ("given", "wind_speed", "115 mph"),
        ("asce7-16", "given", [{"zone": "all", "uplift": 1, "downward": 1}]),
    ],
)
def test_what_a_standard_does_not_read_is_refused(standard, field, value):
    with pytest.raises(ValidationError) as refusal:
        LoadsSchema().load({"standard": standard, field: value})
    assert list(refusal.value.messages) == [field]
    (fault,) = faults_of(refusal.value.messages)
    assert (fault.pointer, code_of(fault), facts(fault.message)) == (f"/{field}", "not_read", [standard])


@pytest.mark.parametrize("nothing", [None, [], {}])
def test_a_field_that_holds_nothing_is_no_fault(nothing):
    field = "given" if nothing == [] else "factors" if nothing == {} else "risk_category"
    assert LoadsSchema().load({"standard": "en1991", field: nothing}) == EnLoads()
