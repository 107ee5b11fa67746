"""What holds for every job: what is drawn is counted, rails stay with their modules, attachments on their ribs."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.attachment import set_out
from estimator.job import ClampingZone
from estimator.layout import lay_out, module_rectangles
from estimator.takeoff import count, net_lines, sums_differ
from tests.builders import a_book, a_choice, a_job, a_module, a_roof, an_array, some_limits, some_ribs

EAVE, SLOPE = 40_000.0, 30_000.0
CHOICES = st.sampled_from(
    [
        a_choice(),
        a_choice(stagger=True, rails_per_row=3),
        a_choice(code="ST", arrangement="rail_on_top"),
        a_choice(rail_direction="along_ribs"),
        a_choice(arrangement="direct"),
    ]
)


@st.composite
def arrays(draw, name, x):
    rows, columns = draw(st.integers(1, 4)), draw(st.integers(1, 6))
    cells = [(row, column) for row in range(rows) for column in range(columns)]
    omit = draw(st.sets(st.sampled_from(cells), max_size=len(cells) - 1))
    return an_array(
        name=name,
        x_mm=x + draw(st.integers(0, 900)),
        y_mm=float(draw(st.integers(500, 2000))),
        rows=rows,
        columns=columns,
        orientation=draw(st.sampled_from(["portrait", "landscape"])),
        gap_x_mm=float(draw(st.integers(0, 40))),
        gap_y_mm=float(draw(st.integers(0, 40))),
        omit=frozenset(omit),
    )


@st.composite
def jobs(draw):
    pitch = float(draw(st.sampled_from([200, 250, 300, 333])))
    first = float(draw(st.integers(0, 300)))
    roof = a_roof(
        eave_length_mm=EAVE,
        slope_length_mm=SLOPE,
        ribs=some_ribs(spacing_mm=pitch, first_at_mm=first),
        arrays=(draw(arrays("A", 1500.0)), draw(arrays("B", 20_000.0))),
    )
    zone = draw(st.sampled_from([None, ClampingZone((0.15, 0.30), (0.0, 0.25))]))
    return a_job(roof, module=a_module(clamping_zone=zone))


def whole(job, choice):
    layout = lay_out(job)
    setting_out = set_out(job, layout, choice, some_limits())
    return layout, setting_out, count(job, layout, setting_out, None)


@given(jobs(), CHOICES)
@settings(max_examples=80, deadline=None)
def test_what_is_drawn_is_what_is_counted(job, choice):
    layout, setting_out, counts = whole(job, choice)
    lines = net_lines(job, a_book(), choice, counts, None)
    assert sums_differ(layout, setting_out, counts, None, lines) == ()
    drawn = sum(len(module_rectangles(job, 0, number)[0]) for number in range(2))
    posted = sum(array.rows * array.columns - len(array.omit) for array in job.roofs[0].arrays)
    assert drawn == posted == counts.counts.modules


@given(jobs(), CHOICES)
@settings(max_examples=80, deadline=None)
def test_every_attachment_stands_on_a_rib_line_and_on_its_rail(job, choice):
    layout, setting_out, _ = whole(job, choice)
    ribs = layout.roofs[0].ribs_x
    for run in setting_out.runs:
        assert all(-0.001 <= at <= run.length_mm + 0.001 for at in run.attachments_mm)
        places = [run.start_x + at if run.axis == "x" else run.start_x for at in run.attachments_mm]
        assert all(min(abs(x - rib) for rib in ribs) < 0.001 for x in places)
    assert all(seat.x in ribs for seat in setting_out.seats)


@given(jobs(), CHOICES)
@settings(max_examples=80, deadline=None)
def test_a_run_reaches_its_overhang_past_its_segment_and_no_further(job, choice):
    layout, setting_out, _ = whole(job, choice)
    for run in setting_out.runs:
        array = layout.roofs[0].arrays[run.array]
        part = (array.row_segments if run.axis == "x" else array.column_segments)[run.segment]
        low, high, across = (part.x0, part.x1, (part.y0, run.start_y, part.y1))
        start = run.start_x
        if run.axis == "y":
            low, high, across, start = part.y0, part.y1, (part.x0, run.start_x, part.x1), run.start_y
        assert abs(start + 50.0 - low) < 0.001 and abs(start + run.length_mm - 50.0 - high) < 0.001
        assert across[0] <= across[1] <= across[2] and run.modules == part.modules


@given(jobs(), CHOICES)
@settings(max_examples=60, deadline=None)
def test_moving_the_arrays_by_one_rib_changes_nothing_but_places(job, choice):
    roof = job.roofs[0]
    pitch = roof.ribs.spacing_mm
    moved = replace(roof, arrays=tuple(replace(each, x_mm=each.x_mm + pitch) for each in roof.arrays))
    _, before, counts = whole(job, choice)
    _, after, counts_after = whole(replace(job, roofs=(moved,)), choice)
    assert counts == counts_after
    assert [run.place for run in before.runs] == [run.place for run in after.runs]
    for run, other in zip(before.runs, after.runs, strict=True):
        assert all(abs(a - b) < 0.001 for a, b in zip(run.attachments_mm, other.attachments_mm, strict=True))
        assert abs(other.start_x - run.start_x - pitch) < 0.001 and other.start_y == run.start_y
    for seat, other_seat in zip(before.seats, after.seats, strict=True):
        assert abs(other_seat.x - seat.x - pitch) < 0.001 and other_seat.clamp == seat.clamp


@given(jobs(), CHOICES)
@settings(max_examples=60, deadline=None)
def test_a_roof_seen_in_a_mirror_takes_the_same_counts(job, choice):
    roof = job.roofs[0]
    _, before, counts = whole(job, choice)
    ribs = lay_out(job).roofs[0].ribs_x
    mirrored = replace(
        roof,
        ribs=replace(roof.ribs, first_at_mm=EAVE - ribs[-1]),
        arrays=tuple(mirror(each, job) for each in roof.arrays),
    )
    _, after, mirrored_counts = whole(replace(job, roofs=(mirrored,)), replace(choice, stagger=False))
    if choice.stagger:
        before = set_out(job, lay_out(job), replace(choice, stagger=False), some_limits())
    assert counts == mirrored_counts
    assert sorted(finding.code for finding in before.findings) == sorted(finding.code for finding in after.findings)


def mirror(array, job):
    w = job.module.width_mm if array.orientation == "portrait" else job.module.length_mm
    reach = array.columns * w + (array.columns - 1) * array.gap_x_mm
    omit = frozenset((row, array.columns - 1 - column) for row, column in array.omit)
    return replace(array, x_mm=EAVE - array.x_mm - reach, omit=omit)
