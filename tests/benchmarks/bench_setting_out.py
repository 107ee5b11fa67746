"""Setting out 25,000 modules under load beside the same with spans given: processor seconds and their ratio.

Run: python -m tests.benchmarks.bench_setting_out
"""

import time
from dataclasses import replace

from estimator.attachment import limits_for, set_out
from estimator.attachment.under_load.setting_out import set_out_under_load
from estimator.layout import lay_out
from estimator.loads import find_pressures
from tests.builders import a_choice, a_job, a_roof, an_array, some_loads


def a_large_job(holes, rows, columns):
    omit = {(r, c) for r in range(rows) for c in range(columns) if (c * 7 + r * 3) % 9 == 0} if holes else set()
    width, slope = columns * 1020 + 3000.0, rows * 1720 + 1500.0
    array = an_array(rows=rows, columns=columns, omit=frozenset(omit))
    job = a_job(a_roof(eave_length_mm=width, slope_length_mm=slope, arrays=(array,)))
    loads = some_loads(
        standard="asce7-16",
        wind_speed_m_s=115 * 0.44704,
        exposure="C",
        mean_roof_height_mm=6000.0,
        roof_form="gable",
        building_length_mm=width,
        building_width_mm=2 * slope,
        ground_snow_pa=1000.0,
    )
    return replace(job, site=replace(job.site, loads=loads))


def main(rows=100, columns=250):
    for holes in (False, True):
        job = a_large_job(holes, rows, columns)
        layout = lay_out(job)
        pressures = [find_pressures(job.site.loads, roof, job.module) for roof in job.roofs]
        for mounting in ({}, {"rail_direction": "along_ribs"}, {"stagger": True}, {"arrangement": "direct"}):
            choice = a_choice(**mounting)
            limits = limits_for(job, choice)
            start = time.process_time()
            given = set_out(job, layout, choice, limits)
            between = time.process_time()
            loaded = set_out_under_load(job, layout, choice, limits, pressures)
            end = time.process_time()
            lines = len(given.runs) or "no"
            attachments = sum(len(run.attachments_mm) for run in loaded.setting_out.runs) + len(
                loaded.setting_out.seats
            )
            print(
                f"{'rows parted' if holes else 'whole rows'} {mounting or 'across the ribs'}: {lines} runs,"
                f" {attachments} attachments, {between - start:.3f} s given, {end - between:.3f} s under load,"
                f" ratio {(end - between) / (between - start):.1f}"
            )


if __name__ == "__main__":
    main()
