"""Dead load of an array from the masses that lie on the roof."""

from __future__ import annotations

from estimator.job import Module
from estimator.loads.actions.citing import JOB, MECHANICS, PRICEBOOK
from estimator.loads.actions.steps import Step
from estimator.sentences import figure, joined, say

STANDARD_GRAVITY = 9.80665


def module_dead_load_pa(module: Module, hardware_kg_m2: float = 0.0) -> float:
    """Dead load per m2 of roof surface under the array, Pa: the module's mass over its area, and the hardware's.

    Source: mechanics; standard gravity of the SI.

    >>> panel = Module("72-cell", 2278, 1134, 35, 28.6, 545)
    >>> round(module_dead_load_pa(panel), 2)
    108.57
    """
    area_m2 = module.length_mm * module.width_mm / 1e6
    return (module.mass_kg / area_m2 + hardware_kg_m2) * STANDARD_GRAVITY


def dead_steps(module: Module, hardware_kg_m2: float, dead_pa: float) -> tuple[Step, ...]:
    """The lines of the calculation sheet for the dead load."""
    area_m2 = module.length_mm * module.width_mm / 1e6
    return (
        Step(
            say("m module"),
            module.mass_kg / area_m2,
            "kg/m2",
            joined(" / ", (figure(module.mass_kg, "g", " kg"), figure(area_m2, ".4f", " m2"))),
            JOB,
            "given",
        ),
        Step(say("m hardware"), hardware_kg_m2, "kg/m2", say("rails, brackets and clamps"), PRICEBOOK, "given"),
        Step("D", dead_pa, "N/m2", say("(m module + m hardware) g"), MECHANICS, "computed"),
    )
