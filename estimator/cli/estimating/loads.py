"""``estimator loads``: wind, snow and dead load of a job, with every factor and clause."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import click

from estimator.cli.terminal.dates import DateOption, today
from estimator.cli.terminal.refusing import echo_json, read_document, refusals

Entry = dict[str, Any]


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--pricebook", help="id of the pricebook whose brackets and rails take the loads")
@click.option("--pricebooks", type=click.Path(path_type=Path), multiple=True, help="folder of pricebooks")
@click.option("--on", type=DateOption(), help="date of pricing; today if left out")
@click.option("--json", "as_json", is_flag=True, help="print everything as JSON")
def loads(job: Path, pricebook: str | None, pricebooks: tuple[Path, ...], on: date | None, as_json: bool) -> None:
    """Wind, snow and dead load on the roofs of JOB to pressures by zone, and the spans they allow.

    Where no bracket of the pricebook fits the roof, the pressures come without spans, and that is said.
    """
    from estimator.cli.estimating.load_entries import load_entry
    from estimator.cli.terminal.progress import Progress
    from estimator.contract.faults import read_job
    from estimator.contract.requests.posted_job.job import JobSchema

    with refusals(as_json=as_json):
        asked = read_job(read_document(job), JobSchema())
        with Progress() as progress:
            progress.step(f"{job.name}: setting out under its loads")
            entry = load_entry(asked, pricebook, pricebooks, on or today())
        if as_json:
            echo_json(entry)
            return
        for line in _lines(entry):
            click.echo(line)


def _lines(entry: Entry) -> Iterator[str]:
    if "pricebook" in entry:
        yield f"pricebook {entry['pricebook']} {entry['edition']}, bracket {entry['bracket']}"
    for roof in entry["roofs"]:
        yield from _roof(roof)
    for check in entry["all_checks"]:
        yield f"{check['severity']}: {check['message']}"
    for reason in entry.get("without_spans", ()):
        yield f"no spans: {reason}"
    for caution in entry.get(
        "cautions", ("Preliminary: a licensed engineer verifies loads and spacings for the site.",)
    ):
        yield f"Caution: {caution}"


def _roof(roof: Entry) -> Iterator[str]:
    if not roof["computed"]:
        yield f"{roof['roof']} roof: spans are given with the job; no loads are computed"
        return
    own, snow, unit = roof["own"], roof["snow"], roof["own_unit"]
    yield f"{roof['roof']} roof: {roof['standard']}, {roof['method']}"
    yield f"  velocity pressure {roof['velocity_pressure']:.1f} Pa ({own['velocity_pressure']:.2f} {unit})"
    yield (
        f"  snow flat {snow['flat']:.1f} Pa ({snow['own']['flat']:.2f} {unit}), "
        f"sloped {snow['sloped']:.1f} Pa ({snow['own']['sloped']:.2f} {unit})"
    )
    yield f"  dead load {roof['dead']:.1f} Pa ({own['dead']:.2f} {unit})"
    yield from _steps(roof["steps"], 4)
    for zone in roof["zones"]:
        yield from _zone(zone, unit)


def _zone(zone: Entry, unit: str) -> Iterator[str]:
    own, governing = zone["own"], zone["governing"]
    yield (
        f"  zone {zone['zone']}: effective area {zone['effective_area']:.2f} m2, "
        f"uplift {zone['uplift']:.0f} Pa ({own['uplift']:.1f} {unit}) by {governing['uplift']}, "
        f"downward {zone['downward']:.0f} Pa ({own['downward']:.1f} {unit}) by {governing['downward']}"
    )
    yield from _steps(zone["steps"], 6)
    for span in zone["spans"]:
        longest = "any" if span["span"] is None else f"{span['span']:.0f} mm"
        yield f"    allowed span {longest}, governed by {span['governs']}"
    if zone["utilisation"] is not None:
        yield f"    worst utilisation {zone['utilisation']:.3f} at {zone['worst_at']}"


def _steps(steps: list[Entry], indent: int) -> Iterator[str]:
    for step in steps:
        value = step["value"] if isinstance(step["value"], str) else f"{step['value']:.5g}"
        mark = "" if step["mark"] == "found" else f" [{step['mark']}]"
        yield f"{' ' * indent}{step['symbol']} = {value} {step['unit']}  {step['formula']}  ({step['clause']}){mark}"
