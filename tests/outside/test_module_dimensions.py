"""Every module size of an open table lays out, sets out and counts.

Source: the module library of the System Advisor Model (California Energy Commission list of 2019-03-05) as bundled
with pvlib; lengths and widths only. Rows whose length times width is off the stated area by more than 2 % are left out.
"""

from dataclasses import replace

import numpy as np
import pytest
from pvlib.pvsystem import retrieve_sam

from estimator.attachment import set_out
from estimator.layout import lay_out
from estimator.takeoff import count, net_lines, sums_differ
from tests.builders import a_book, a_choice, a_job, a_module, a_roof, an_array, some_limits


@pytest.fixture(scope="module")
def sizes():
    table = retrieve_sam("cecmod").loc[["Length", "Width", "A_c"]].T.astype(float).dropna()
    consistent = table[np.abs(table.Length * table.Width / table.A_c - 1) <= 0.02]
    return sorted({(round(length * 1000, 1), round(width * 1000, 1)) for length, width, _ in consistent.to_numpy()})


def test_the_table_is_the_one_expected(sizes):
    assert 600 <= len(sizes) <= 657 and all(length >= width for length, width in sizes)


@pytest.mark.parametrize("arrangement", ["rail_on_side", "direct"])
@pytest.mark.parametrize("orientation", ["portrait", "landscape"])
def test_every_size_of_the_table_lays_out_and_counts(sizes, arrangement, orientation):
    book, choice = a_book(), a_choice(arrangement=arrangement)
    array = an_array(orientation=orientation, omit=frozenset({(0, 1)}))
    roof = a_roof(eave_length_mm=30_000.0, slope_length_mm=20_000.0, arrays=(array,))
    for length, width in sizes:
        job = a_job(roof, module=a_module(length_mm=length, width_mm=width))
        layout = lay_out(job)
        setting_out = set_out(job, layout, choice, some_limits())
        counts = count(job, layout, setting_out, None)
        assert counts.counts.modules == 5
        assert sums_differ(layout, setting_out, counts, None, net_lines(job, book, choice, counts, None)) == ()


def test_every_size_of_the_table_lays_out_with_rails_along_the_ribs(sizes):
    choice = replace(a_choice(), rail_direction="along_ribs")
    roof = a_roof(eave_length_mm=30_000.0, slope_length_mm=20_000.0)
    for length, width in sizes:
        job = a_job(roof, module=a_module(length_mm=length, width_mm=width))
        layout = lay_out(job)
        counts = count(job, layout, set_out(job, layout, choice, some_limits()), None).counts
        assert (counts.runs, counts.end_clamps) == (6, 12)
