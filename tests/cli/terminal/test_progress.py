"""What a command shows while it works: nothing at first, then work, best plan and gap; never where a program reads."""

import io
import time

from rich.console import Console

from estimator.cli.terminal.progress import Progress
from estimator.cutting.records import Standing


def shown(work, *, terminal=True, patience=0.0):
    out = io.StringIO()
    console = Console(file=out, force_terminal=terminal, width=120)
    with Progress(console, patience) as progress:
        work(progress)
    return out.getvalue()


def a_search(progress):
    progress.step("cutting")
    watch = progress.of_search(2)
    time.sleep(0.3)
    watch(Standing(120, 8000, 30_100, 30_000))
    time.sleep(0.3)


def test_a_long_search_tells_its_work_its_best_plan_and_its_gap():
    assert "work 120, best 301.00, gap 0.33 %" in shown(a_search)


def test_while_mountings_are_compared_the_line_tells_which_of_how_many():
    def compared(progress):
        progress.step("pricing")
        watch = progress.of_search(2)
        time.sleep(0.3)
        watch(Standing(0, 0, None, None, (3, 20)))
        time.sleep(0.3)
        watch(Standing(40, 100, 30_100, None, (3, 20)))
        time.sleep(0.3)

    told = shown(compared)
    assert "mounting 3 of 20" in told
    assert "mounting 3 of 20, work 40, best 301.00" in told


def test_what_is_quick_and_what_a_program_reads_shows_nothing():
    assert "cutting" not in shown(a_search, patience=60.0)
    assert shown(a_search, terminal=False).strip() == ""
