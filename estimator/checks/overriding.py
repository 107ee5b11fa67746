"""Which failed checks are overridden: an override names a check by its code and its place."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from estimator.attachment import SettingOut
from estimator.checks.named_by_0_1 import places_named_by_0_1
from estimator.errors import NEVER_OVERRIDDEN, Finding
from estimator.job import CheckOverride, Job


def standing_errors(checks: Iterable[Finding], overridden: Iterable[CheckOverride]) -> tuple[Finding, ...]:
    """The errors that nobody overrode, and those that nobody can override."""
    named = {(each.code, each.place) for each in overridden}
    return tuple(
        check
        for check in checks
        if check.severity == "error" and (check.code in NEVER_OVERRIDDEN or (check.code, check.place) not in named)
    )


def unmatched(checks: Iterable[Finding], overrides: Sequence[CheckOverride]) -> tuple[int, ...]:
    """The numbers, from 0, of the overrides that name no error."""
    errors = {(check.code, check.place) for check in checks if check.severity == "error"}
    return tuple(at for at, each in enumerate(overrides) if (each.code, each.place) not in errors)


def named_by_place(
    overrides: Sequence[CheckOverride], checks: Iterable[Finding], job: Job, setting_out: SettingOut
) -> tuple[CheckOverride, ...]:
    """The overrides with every place as a fact; those that were kept with words alone get the place the words meant."""
    if not any(each.place.told for each in overrides):
        return tuple(overrides)
    meant = places_named_by_0_1(checks, job, setting_out)
    return tuple(
        replace(each, place=meant.get((each.code, str(each.place.told)), each.place)) if each.place.told else each
        for each in overrides
    )
