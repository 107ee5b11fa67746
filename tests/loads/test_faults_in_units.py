"""Faults of a site name what is allowed in both systems, and the unit in which a bare number would be within bounds."""

from dataclasses import replace

import pytest

from estimator.errors import JobRefused
from estimator.loads import find_pressures
from estimator.site_loads import Building
from tests.loads.cases import EU, MODULE, ROOF, US


def faults(loads):
    with pytest.raises(JobRefused) as refusal:
        find_pressures(loads, ROOF, MODULE)
    return {fault.pointer: (str(fault.message), str(fault.allowed)) for fault in refusal.value.faults}


def test_a_height_out_of_bounds_is_told_in_feet_and_metres():
    """60 ft are 18.29 m. Source: NIST SP 811; bounds of ASCE 7 chapter 30."""
    loads = replace(US, building=replace(US.building, mean_roof_height_mm=30_480.0))
    message, allowed = faults(loads)["/site/loads/mean_roof_height"]
    assert message == "mean roof height is 100 ft (30.48 m)"
    assert allowed == "5 to 60 ft (1.524 to 18.29 m)"


def test_a_bare_number_is_told_in_the_unit_it_was_likely_meant():
    loads = replace(US, building=replace(US.building, mean_roof_height_mm=20.0))
    message, _ = faults(loads)["/site/loads/mean_roof_height"]
    assert "a bare number is in mm, 20 ft would be within" in message
    message, _ = faults(replace(EU, wind_speed_m_s=90.0))["/site/loads/wind_speed"]
    assert "90 km/h would be within" in message


def test_a_missing_value_says_what_is_allowed():
    found = faults(replace(EU, terrain=None, wind_speed_m_s=None, building=Building()))
    assert found["/site/loads/terrain"][1] == "0, I, II, III, IV"
    assert found["/site/loads/wind_speed"] == (
        "fundamental wind velocity is missing",
        "15 to 60 m/s (33.55 to 134.2 mph)",
    )
    assert found["/site/loads/roof_form"][1] == "flat, gable, hip, monoslope"
