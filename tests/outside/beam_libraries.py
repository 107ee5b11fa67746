"""The same beam given to two libraries written elsewhere: PyNiteFEA (stiffness method) and indeterminatebeam."""

from itertools import pairwise

import indeterminatebeam as ib
from Pynite import FEModel3D

from estimator.attachment.beam.solve import Beam

ENLARGED = 2.0**40


def stretches(beam: Beam, case: int = 0) -> list[tuple[float, float, float]]:
    """(from, to, load) of each stretch that has a length."""
    places = (0.0, *beam.borders_mm, beam.length_mm)
    loads = [stretch[case] for stretch in beam.loads_n_per_mm]
    return [(a, b, w) for (a, b), w in zip(pairwise(places), loads, strict=True) if b > a]


def in_pynite(beam: Beam, case: int = 0) -> FEModel3D:
    """Solved, as member "beam" with a node "S0", "S1" ... at every support; loads act downward (-y)."""
    model = FEModel3D()
    model.add_material("m", beam.stiffness_n_mm2, 1.0, 0.3, 0.0)
    model.add_section("s", 1.0, 1.0, 1.0, 1.0)
    model.add_node("start", 0, 0, 0)
    model.add_node("end", beam.length_mm, 0, 0)
    names = {0.0: "start", beam.length_mm: "end"}
    for number, x in enumerate(beam.supports_mm):
        if x not in names:
            model.add_node(f"S{number}", x, 0, 0)
            names[x] = f"S{number}"
    for number, x in enumerate(beam.supports_mm):
        first = number == 0
        model.def_support(names[x], first, True, True, first, False, False)
    model.add_member("beam", "start", "end", "m", "s")
    for a, b, w in stretches(beam, case):
        model.add_member_dist_load("beam", "Fy", -w, -w, a, b, case="L")
    model.add_load_combo("now", {"L": 1.0})
    model.analyze_linear(check_stability=False)
    model.support_names = [names[x] for x in beam.supports_mm]
    return model


def in_indeterminatebeam(beam: Beam, case: int = 0) -> ib.Beam:
    """Solved for loads ENLARGED times the beam's, because that library rounds its answers to ten decimals."""
    other = ib.Beam(beam.length_mm, E=beam.stiffness_n_mm2, I=1.0)
    other.update_units("length", "mm")
    other.update_units("E", "MPa")
    other.update_units("I", "mm4")
    other.update_units("distributed", "N/mm")
    other.update_units("force", "N")
    other.update_units("moment", "N.mm")
    other.update_units("deflection", "mm")
    other.add_supports(*(ib.Support(x, (int(n == 0), 1, 0)) for n, x in enumerate(beam.supports_mm)))
    other.add_loads(*(ib.DistributedLoadV(expr=f"{-w * ENLARGED!r}", span=(a, b)) for a, b, w in stretches(beam, case)))
    other.analyse()
    return other
