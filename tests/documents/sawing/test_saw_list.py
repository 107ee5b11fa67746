"""The saw list: every piece of the plan once, in cutting order, with a label of its own."""

import csv
import io
from collections import Counter
from dataclasses import replace

from estimator.documents.saw_list.csv import write_saw_csv
from estimator.documents.sawing.pieces import saw_pieces
from tests.documents.quotes_to_write import the_offer


def the_plan():
    return the_offer().estimate.cut_plan


def test_every_piece_of_every_bar_is_listed_once():
    plan = the_plan()
    pieces = list(saw_pieces(plan, "T-1"))
    assert len(pieces) == plan.pieces
    assert {each.bar for each in pieces} == set(range(1, sum(bars.count for bars in plan.bars) + 1))
    lengths = Counter(round(each.length_mm * 10) for each in pieces)
    assert lengths == Counter(length for bars in plan.bars for length in bars.pieces for _ in range(bars.count))


def test_every_piece_has_a_label_of_its_own_with_job_and_run():
    pieces = list(saw_pieces(the_plan(), "T-1"))
    labels = [each.label for each in pieces]
    assert len(set(labels)) == len(labels)
    assert all(label.startswith("T-1 · South / A /") or label.startswith("T-1 · North / A /") for label in labels)


def test_the_pieces_of_a_run_make_its_whole_length():
    lengths = Counter()
    for each in saw_pieces(the_plan()):
        lengths[each.run] += round(each.length_mm * 10)
    for run in the_offer().estimate.setting_out.runs:
        assert lengths[run.place] == round(run.length_mm * 10)


def test_the_table_for_machines_reads_back_and_the_one_for_people_runs_nothing():
    plan = replace(the_plan(), run_places=tuple(replace(p, roof=f"={p.roof}") for p in the_plan().run_places))
    machine = list(csv.DictReader(io.StringIO(write_saw_csv(plan).decode("utf-8"), newline="")))
    assert len(machine) == sum(len(bar.pieces) * bar.count for bar in plan.bars if bar.cuts)  # whole bars are not sawn
    assert machine[0]["run"].startswith("=")
    assert float(machine[0]["length_mm"]) > 0
    people = list(
        csv.DictReader(io.StringIO(write_saw_csv(plan, profile="spreadsheet").decode("utf-8-sig"), newline=""))
    )
    assert all(row["run"].startswith("'=") and row["label"].startswith("'=") for row in people)
