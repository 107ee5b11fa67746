"""``estimator cut``: a cut list on its own."""

from __future__ import annotations

from pathlib import Path

import click

from estimator.cli.terminal.refusing import echo_json, read_document, refusals


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="print the plan as JSON")
@click.option("--seconds", type=click.FloatRange(min=0.1), help="time to search (else a fixed amount of work)")
def cut(file: Path, as_json: bool, seconds: float | None) -> None:
    """Plan the pieces in FILE into bars at the least cost, with the proven bound beside it."""
    from estimator.cli.terminal.progress import Progress
    from estimator.contract.answers.cut_list import cut_plan_answer
    from estimator.contract.faults import read
    from estimator.contract.requests.cut_list import CutListSchema
    from estimator.service.cut_lists import plan_cut_list, price_places

    with refusals(as_json=as_json):
        unit, cut_list = read(CutListSchema(), read_document(file))
        with Progress() as progress:
            progress.step("cutting")
            watch = progress.of_search(price_places(cut_list), seconds)
            answer = cut_plan_answer(unit, cut_list, plan_cut_list(cut_list, seconds, watch))
        if as_json:
            echo_json(answer)
            return
        for bar in answer["bars"]:
            pieces = " + ".join(f"{piece:g}" for piece in bar["pieces"])
            click.echo(f"{bar['count']:>6} x {bar['stock']:g} {unit}: {pieces}, {bar['offcut']:g} left")
        proof = "proven least" if answer["proven_optimal"] else f"proven not below {answer['lower_bound']}"
        click.echo(f"cost {answer['cost']} ({proof}), waste {answer['waste']:.1%}, {answer['seconds']} s")
