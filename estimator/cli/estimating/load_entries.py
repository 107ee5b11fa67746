"""The loads of a job as the command tells them: with the spans they allow, where a bracket fits."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

from estimator.attachment.load_report import report_loads
from estimator.attachment.reactions import find_reactions
from estimator.attachment.records import Limits, SettingOut
from estimator.attachment.under_load.records import NOTHING, LoadedSettingOut
from estimator.checks import all_checks
from estimator.cli.terminal.catalogues import catalogue_of
from estimator.contract.answers.offer.loads import notice_entries, report_entry
from estimator.contract.answers.offer.reactions import reactions_entry
from estimator.errors import ChoiceRefused
from estimator.job import Choices, Job
from estimator.layout import lay_out
from estimator.loads import find_pressures
from estimator.loads_alone import find_loads
from estimator.plausible import implausible

NOTHING_SET_OUT = LoadedSettingOut(SettingOut((), (), Limits(0.0, 0.0, NOTHING, NOTHING), (), ()))


def load_entry(job: Job, pricebook: str | None, folders: tuple[Path, ...], on: date) -> dict[str, Any]:
    """Loads with the spans that brackets of the pricebook allow; where none fits the roof, without, and why."""
    lay_out(job)
    try:
        book = catalogue_of(folders).choose("", pricebook, None, on, job)
        found = find_loads(job, book, Choices(), on)
    except ChoiceRefused as refusal:
        pressures = [find_pressures(job.site.loads, roof, job.module) for roof in job.roofs]
        reasons = [fault.message for fault in refusal.faults] or [refusal.told]
        report = report_loads(job, pressures, NOTHING_SET_OUT)
        checks = all_checks(implausible(job), report, units=job.display_units)
        return {**report_entry(report), "all_checks": notice_entries(checks), "without_spans": reasons}
    named = {"pricebook": book.id, "edition": book.edition, "bracket": found.mounting.bracket.part}
    forces = reactions_entry(find_reactions(job, found.loads, found.setting_out))
    more = {"reactions": forces, "all_checks": notice_entries(found.checks), "cautions": list(found.cautions)}
    return {**report_entry(found.loads), **more, **named}
