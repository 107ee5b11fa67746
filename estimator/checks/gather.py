"""Every check of an estimate, once, errors first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import chain

from estimator.attachment.load_report import LoadReport
from estimator.errors import Finding
from estimator.places import Place
from estimator.units import DisplayUnits, in_units

_ORDER = {"error": 0, "warning": 1, "note": 2}


def all_checks(
    placed: Sequence[Finding], loads: LoadReport, *others: Iterable[Finding], units: DisplayUnits = "metric"
) -> tuple[Finding, ...]:
    """Every stage's findings, each once, errors first, else in the order of the stages.

    Args:
        placed: of layout, mounting and setting-out.
        loads: of every roof; what names no place of its own is about that roof.
        others: of the stages after them.
        units: the job's, in which the messages speak.

    """
    on_roofs = [
        finding if finding.place else replace(finding, place=Place(roof=roof.name))
        for roof in loads.roofs
        for finding in roof.sheet.findings
    ]
    found = (*placed, *on_roofs, *chain(*others))
    checks = dict.fromkeys(replace(check, message=in_units(check.message, units)) for check in found)
    return tuple(sorted(checks, key=lambda check: _ORDER[check.severity]))
