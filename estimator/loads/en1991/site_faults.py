"""What a site by the Eurocode must say, and within which bounds: every fault at once, each with what is allowed."""

from __future__ import annotations

from estimator.errors import Fault
from estimator.loads.actions.named_factors import Bounds
from estimator.loads.actions.site_faults import ROOF_FORMS, Faults, building_faults, over, thermal_faults
from estimator.loads.en1991.annexes import ANNEXES, RECOMMENDED
from estimator.loads.en1991.wind.peak_pressure import TERRAIN
from estimator.sentences import say
from estimator.site_loads import EnLoads

EN_WIND_M_S = (15.0, 60.0)
EN_SNOW_KPA = (0.0, 25.0)
EN_HEIGHT_M = (2.0, 200.0)

EN_FACTORS: dict[str, Bounds] = {
    "ze": (2.0, 200.0),
    "cdir": (0.5, 1.2),
    "cseason": (0.5, 1.2),
    "co": (0.8, 2.5),
    "c0": (0.8, 2.5),
    "kI": (0.5, 2.0),
    "rho": (1.0, 1.5),
    "gamma_G_sup": (1.0, 2.0),
    "gamma_G_inf": (0.5, 1.0),
    "gamma_G_sup_equ": (1.0, 2.0),
    "gamma_G_inf_equ": (0.5, 1.0),
    "gamma_Q": (1.0, 2.5),
    "psi_0_wind": (0.0, 1.0),
    "psi_0_snow": (0.0, 1.0),
    "Ce": (0.5, 1.5),
    "Cesl": (1.0, 3.0),
}
"""ze: reference height (the ridge), m; Cesl: factor of exceptional snow."""


def en_faults(loads: EnLoads) -> list[Fault]:
    """Faults of a site by the Eurocode. The wind and snow bounds enclose the national maps [from memory]."""
    f = Faults("/site/loads")
    f.within("wind_speed", loads.wind_speed_m_s, EN_WIND_M_S, "m/s", say("fundamental wind velocity"))
    f.within(
        "mean_roof_height", over(loads.building.mean_roof_height_mm, 1000), EN_HEIGHT_M, "m", say("mean roof height")
    )
    if loads.ground_snow_pa is not None:
        f.within("ground_snow", loads.ground_snow_pa / 1000, EN_SNOW_KPA, "kN/m2", say("ground snow"))
    f.one_of("terrain", loads.terrain, tuple(TERRAIN), say("terrain category"))
    f.one_of("snow_exposure", loads.snow_exposure, tuple(RECOMMENDED.exposure), say("snow exposure"), needed=False)
    if loads.building.roof_form == "hip":
        f.add(
            "roof_form", say("roof form hip: no confirmed coefficients by EN 1991-1-4"), say("flat, gable, monoslope")
        )
    else:
        f.one_of("roof_form", loads.building.roof_form, ROOF_FORMS, say("roof form"))
    f.one_of("annex", loads.annex, tuple(ANNEXES), say("annex"))
    thermal_faults(f, loads.thermal_factor)
    building_faults(f, loads.building)
    return f.found
