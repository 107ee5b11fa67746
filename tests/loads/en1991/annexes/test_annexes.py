"""Numbers that the Eurocodes leave to each nation: the annex a job names, and single ones it gives by symbol."""

from dataclasses import replace

import pytest

from estimator.errors import LoadsRefused
from estimator.loads import find_pressures
from estimator.loads.en1991.annexes import ANNEXES, RECOMMENDED
from estimator.site_loads import EnLoads
from tests.loads.cases import EU, MODULE, ROOF


@pytest.fixture
def another_annex(monkeypatch):
    """An annex of a test, of no nation."""
    numbers = replace(
        RECOMMENDED,
        title="the annex of a test",
        wind=replace(RECOMMENDED.wind, rho=1.2),
        partial=replace(RECOMMENDED.partial, gamma_q=1.4),
    )
    monkeypatch.setitem(ANNEXES, "test", numbers)


def pressure(**changes):
    loads = replace(EU, **changes)
    assert isinstance(loads, EnLoads)
    return find_pressures(loads, ROOF, MODULE)


def test_the_annex_that_a_job_names_counts(another_annex):
    plain, changed = pressure(), pressure(annex="test")
    # Source: EN 1991-1-4 Equation 4.8: qp is proportional to the density of air
    assert changed.wind.velocity_pa == pytest.approx(plain.wind.velocity_pa * 1.2 / 1.25)


def test_a_number_that_the_job_gives_wins_over_the_annex(another_annex):
    given = pressure(annex="test", factors=(("rho", 1.25),))
    assert given.wind.velocity_pa == pytest.approx(pressure().wind.velocity_pa)


def told(pressures, symbol):
    """How the line of a symbol is marked, and the values that its note names."""
    (step,) = [step for step in pressures.wind_steps if step.symbol == symbol]
    return step.mark, dict(getattr(step.note, "values", ()))


def test_the_sheet_names_the_annex_that_sets_a_number_and_marks_what_the_job_gives(another_annex):
    made = pressure(annex="test", factors=(("c0", 1.1),))
    assert told(made, "rho") == ("found", {"annex": "the annex of a test"})
    assert told(made, "co") == ("given", {})
    assert told(pressure(), "rho") == ("found", {})


def test_an_annex_that_is_not_there_is_a_fault_that_names_those_that_are():
    with pytest.raises(LoadsRefused) as refusal:
        pressure(annex="nowhere")
    assert [(fault.pointer, fault.allowed) for fault in refusal.value.faults] == [
        ("/site/loads/annex", ", ".join(ANNEXES))
    ]
