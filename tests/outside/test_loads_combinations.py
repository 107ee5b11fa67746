"""Load combinations against published answers."""

import math
from dataclasses import replace

import numpy as np
import pytest

from estimator.loads.actions.evaluate import Actions, combined
from estimator.loads.asce7.combinations import asce_asd, asce_lrfd
from estimator.loads.en1991.annexes import RECOMMENDED
from estimator.loads.en1991.combinations import en_service, en_ultimate

THETA = math.radians(18.435)
PS_PSF, D_PSF = 21.2636, 3.0

# Source: computed from ASCE 7-16 2.3.1 and 2.4.1: D 3 psf, ps 21.2636 psf, 18.435 deg, wind -40 and +16 psf
ASD_7_16 = {
    "D": (2.846, 0.949),
    "D + S": (21.983, 7.328),
    "D + 0.6W down": (12.446, 0.949),
    "D + 0.45W down + 0.75S": (24.399, 5.733),
    "D + 0.45W up + 0.75S": (-0.801, 5.733),
}
LRFD_7_16 = {
    "1.4D": (3.984, 1.328),
    "1.2D + 1.6S + 0.5W down": (42.035, 11.345),
    "1.2D + 1.0W down + 0.5S": (28.984, 4.328),
    "0.9D + 1.0W up": (-37.439, 0.854),
}


def _results(combinations):
    sine, cosine = math.sin(THETA), math.cos(THETA)
    actions = Actions(
        D_PSF * cosine,
        D_PSF * sine,
        PS_PSF * cosine**2,
        PS_PSF * sine * cosine,
        np.array([-40.0]),
        np.array([16.0]),
        0.0,
    )
    normal, along = combined(combinations, actions)
    return {c.name: (float(n[0]), float(a[0])) for c, n, a in zip(combinations, normal, along, strict=True)}


@pytest.mark.parametrize("name", ASD_7_16)
def test_allowable_stress_combinations(name):
    assert _results(asce_asd("7-16"))[name] == pytest.approx(ASD_7_16[name], abs=6e-4)


@pytest.mark.parametrize("name", LRFD_7_16)
def test_strength_combinations(name):
    assert _results(asce_lrfd("7-16"))[name] == pytest.approx(LRFD_7_16[name], abs=6e-4)


def test_uplift_keeps_six_tenths_of_the_dead_load():
    # Source: computed from ASCE 7-16 2.4.1: -22.292 and 0.569 psf
    normal, along = _results(asce_asd("7-16"))["0.6D + 0.6W up"]
    assert (normal, along) == pytest.approx((-22.292, 0.569), abs=6e-4)


def test_uplift_of_a_public_building_record():
    # Source: City of Santa Ana building record 370639: 0.6 x 2.9 - 0.6 x 34.1 = -18.72 psf, -237.7 lb on 12.7 ft2
    uplift = next(c for c in asce_asd("7-16") if c.name == "0.6D + 0.6W up")
    flat = Actions(2.9, 0.0, 0.0, 0.0, np.array([-34.1]), np.array([0.0]), 0.0)
    normal, _ = combined((uplift,), flat)
    assert float(normal[0, 0]) == pytest.approx(-18.72, abs=5e-3)
    assert float(normal[0, 0]) * 12.7 == pytest.approx(-238.9, rel=0.01)


def test_7_22_snow_is_of_strength_level():
    # Source: ASCE 7-22 2.3.1 and 2.4.1: 1.0 S and 0.7 S
    assert {c.S for c in asce_lrfd("7-22")} == {0.0, 1.0, 0.3}
    assert {c.S for c in asce_asd("7-22")} == {0.0, 0.7, 0.525}


def test_eurocode_ultimate_combinations_with_recommended_factors():
    # Source: EN 1990 Tables A1.2(A) and A1.2(B), expression 6.10; 1.35 and 1.5 in Steel Buildings in Europe Part 3
    found = {(c.D, c.S, round(c.W, 12), c.wind) for c in en_ultimate(RECOMMENDED.partial)}
    assert (1.35, 1.5, 0.9, "down") in found
    assert (1.35, 0.75, 1.5, "down") in found
    assert (1.0, 0.0, 1.5, "up") in found
    assert (0.9, 0.0, 1.5, "up") in found


def test_eurocode_service_combinations():
    # Source: Steel Buildings in Europe Part 3: G + S + 0.6 W and G + W + 0.5 S
    found = {(c.D, c.S, c.W) for c in en_service(RECOMMENDED.partial)}
    assert {(1.0, 1.0, 0.6), (1.0, 0.5, 1.0)} <= found


def test_snow_above_1000_m_accompanies_wind_with_seven_tenths():
    # Source: EN 1990 Table A1.1
    high = en_ultimate(replace(RECOMMENDED.partial, psi_0_snow=0.7))
    assert any(pytest.approx(1.05) == c.S for c in high)
