from estimator.attachment import set_out
from estimator.job import ClampingZone, Mounting
from estimator.layout import lay_out
from estimator.places import Place
from tests.builders import a_choice, a_job, a_module, a_roof, an_array, some_limits
from tests.facts import facts

ZONES = ClampingZone(long_side=(0.25, 0.40), short_side=(0.0, 0.20))


def out(job=None, limits=None, **choice):
    job = job or a_job()
    return set_out(job, lay_out(job), a_choice(**choice), limits or some_limits())


def test_two_rails_stand_at_the_clamping_position_from_both_edges_of_a_row():
    # 0.22 x 1700 = 374 above y = 500; 1700 - 374 = 1326; row 2 begins 1720 higher
    assert [run.start_y for run in out().runs] == [874.0, 1826.0, 2594.0, 3546.0]


def test_a_third_rail_stands_in_the_middle():
    runs = out(rails_per_row=3).runs
    assert [run.start_y for run in runs[:3]] == [874.0, 1350.0, 1826.0]
    # statics: three lines at 0.22, 0.5, 0.78 carry 0.455, 0.09, 0.455; the middle one is checked for a third
    assert [round(run.tributary_mm / 1700, 3) for run in runs[:3]] == [0.455, 0.333, 0.455]


def test_a_rail_carries_half_the_module():
    assert {run.tributary_mm for run in out().runs} == {850.0}
    # ribs every 300 from 150 on under modules 1000 wide: each column's two rails carry all of it together
    along = out(rail_direction="along_ribs").runs
    assert {a.tributary_mm + b.tributary_mm for a, b in zip(along[::2], along[1::2], strict=True)} == {1000.0}


def test_the_clamping_position_is_moved_into_the_zone_of_the_side_up_the_slope():
    # portrait: the long side lies up the slope, 0.25 x 1700 = 425
    assert out(a_job(module=a_module(clamping_zone=ZONES))).runs[0].start_y == 925.0
    # landscape: the short side, at most 0.20 x 1000
    roof = a_roof(arrays=(an_array(orientation="landscape"),))
    assert out(a_job(roof, module=a_module(clamping_zone=ZONES))).runs[0].start_y == 700.0


def test_a_given_clamping_position_that_is_moved_is_noted():
    mounting = Mounting(arrangement="rail_on_side", material="aluminium", clamping_position=0.1)
    found = out(a_job(module=a_module(clamping_zone=ZONES), mounting=mounting), clamping_position=0.1).findings
    assert [(finding.code, finding.severity, finding.allowed) for finding in found] == [
        ("clamping_position_moved", "note", 0.25)
    ]


def test_a_rail_reaches_past_the_outer_modules_at_both_ends():
    run = out(rail_overhang_mm=120.0).runs[0]
    assert (run.start_x, run.length_mm) == (880.0, 3040.0 + 240.0)


def test_rows_and_rails_are_counted_from_the_eave_and_parts_from_the_left():
    assert out().runs[3].place == Place(roof="South", array="A", row=2, rail=2)
    split = a_job(a_roof(arrays=(an_array(rows=1, columns=4, omit=frozenset({(0, 1)})),)))
    assert [run.place.facts() for run in out(split).runs] == [
        {"roof": "South", "array": "A", "row": 1, "section": section, "rail": rail}
        for rail in (1, 2)
        for section in (1, 2)
    ]


def test_runs_are_numbered_over_all_roofs():
    runs = out(a_job(a_roof(), a_roof(name="North"))).runs
    assert [run.key for run in runs] == list(range(8)) and runs[4].place.roof == "North"


def test_rails_along_ribs_stand_on_the_ribs_nearest_to_the_clamping_position():
    # columns from 1000, 2020, 3040; best places 1220, 1780; 2240, 2800; 3260, 3820; ribs at 150 + 300 k
    runs = out(rail_direction="along_ribs").runs
    assert [run.start_x for run in runs] == [1350.0, 1650.0, 2250.0, 2850.0, 3150.0, 3750.0]
    assert {(run.start_y, run.length_mm, run.axis) for run in runs} == {(450.0, 3420.0 + 100.0, "y")}


def test_on_a_tie_the_rib_further_from_the_middle_of_the_module_is_taken():
    # best places 1200 and 1800, each midway between two ribs
    runs = out(rail_direction="along_ribs", clamping_position=0.2).runs
    assert [run.start_x for run in runs[:2]] == [1050.0, 1950.0]


def test_a_rib_outside_the_clamping_zone_does_not_serve():
    # zones of the short side 0 to 0.20: 1000 to 1200 and 1800 to 2000; ribs 1350 and 1650 would be nearer
    runs = out(a_job(module=a_module(clamping_zone=ZONES)), rail_direction="along_ribs").runs
    assert [run.start_x for run in runs[:2]] == [1050.0, 1950.0]


def test_a_column_without_a_rib_in_its_zone_is_an_error_with_the_way_to_move():
    # column 1 zones 1000 to 1030 and 1970 to 2000: ribs 1050 and 1950; moving 20 to the right brings 1050 in, but
    # the right zone needs 30 to the left at least: no shift serves both, since ribs repeat every 300
    narrow = a_module(clamping_zone=ClampingZone(short_side=(0.0, 0.03)))
    found = out(a_job(module=narrow), rail_direction="along_ribs").findings
    errors = [finding for finding in found if finding.severity == "error"]
    assert {finding.code for finding in errors} == {"no_rib_in_clamping_zone"}
    assert found[0].place == Place(roof="South", array="A", column=1) and found[0].found is None
    # zones of 0.10: 1000 to 1100 and 1900 to 2000 hold 1050 and 1950; column 2: 2020 to 2120 holds none (1950, 2250),
    # 2920 to 3020 none (2850, 3150); the nearest move for both is 70 to the left (1950 to 2050, 2850 to 2950)
    wider = a_module(clamping_zone=ClampingZone(short_side=(0.0, 0.10)))
    found = out(a_job(module=wider), rail_direction="along_ribs").findings
    # column 3: 3040 to 3140 and 3940 to 4040; moved 10 to the right they hold 3150 and 4050
    errors = [finding for finding in found if finding.severity == "error"]
    assert [finding.place.column for finding in errors] == [2, 3]
    assert found[0].found == 70.0 and 70.0 in facts(found[0].message)
    assert found[1].found == 10.0 and 10.0 in facts(found[1].message)
