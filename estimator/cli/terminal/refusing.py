"""Refusals on the command line: a list people can read on standard error, or the problem as JSON; exit status 2."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from estimator.errors import EstimatorError, Fault, Refused
from estimator.sentences import say

if TYPE_CHECKING:
    from estimator.contract.faults import Document

MOST_SHOWN = 50
BAD_INPUT = 2


@contextmanager
def refusals(*, as_json: bool = False) -> Iterator[None]:
    """Tell a refusal and leave with status 2."""
    try:
        yield
    except EstimatorError as refusal:
        if as_json:
            from estimator.contract.problems.documents import problem_entry, problem_of

            echo_json(problem_entry(problem_of(refusal)))
        else:
            click.echo(f"Error: {refusal}", err=True)
            for line in fault_lines(refusal.faults if isinstance(refusal, Refused) else ()):
                click.echo(line, err=True)
        raise SystemExit(BAD_INPUT) from refusal


def fault_lines(faults: tuple[Fault, ...]) -> Iterator[str]:
    """One line for each fault: place, what, what is allowed."""
    for fault in faults[:MOST_SHOWN]:
        label = "wanted" if fault.is_missing else "allowed"
        allowed = f"{label}: {fault.allowed}"
        yield f"  {fault.pointer or '(top)'}: {fault.message}{f' ({allowed})' if fault.allowed else ''}"
    if len(faults) > MOST_SHOWN:
        yield f"  and {len(faults) - MOST_SHOWN} more"


def read_document(path: Path) -> Document:
    """A JSON file. Errors: NotJson, Refused if it cannot be read."""
    from estimator.contract.faults import parse_json

    try:
        return parse_json(path.read_bytes())
    except OSError as fault:
        raise Refused(say("{path}: {strerror}", path=str(path), strerror=fault.strerror or "")) from fault


def echo_json(document: object) -> None:
    """JSON on standard output, for programs."""
    import orjson

    click.echo(orjson.dumps(document, option=orjson.OPT_INDENT_2).decode())
