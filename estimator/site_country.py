"""What a job's country says, before a pricebook is chosen by it: none given, or units that people there do not use."""

from __future__ import annotations

from estimator.errors import Finding
from estimator.sentences import say
from estimator.units import DisplayUnits, systems_of

US_CUSTOMARY = frozenset({"US", "LR", "MM", "PR"})
BOTH = frozenset({"CA", "GB"})
"""Countries by their measurement system; source: CLDR, supplemental measurement data (from memory)."""


def country_findings(country: str, units: DisplayUnits) -> tuple[Finding, ...]:
    """Warnings about the country of a job's site (or customer) and the units it is shown in.

    >>> [each.code for each in country_findings("", "metric")]
    ['country_not_given']
    >>> [each.code for each in country_findings("DE", "us")], country_findings("CA", "us")
    (['units_of_another_system'], ())
    """
    if not country:
        message = say(
            "neither site nor customer has a country, so no pricebook can be chosen by it: name the country or the "
            "pricebook"
        )
        return (Finding("country_not_given", "warning", message, allowed="ISO 3166-1 alpha-2"),)
    system = "us" if country in US_CUSTOMARY else "metric"
    if country in BOTH or system in systems_of(units):
        return ()
    metric = say(
        "{country} uses metric units, the job asks for US customary ones: please check country and pricebook",
        country=country,
    )
    customary = say(
        "{country} uses US customary units, the job asks for metric ones: please check country and pricebook",
        country=country,
    )
    message = customary if system == "us" else metric
    return (Finding("units_of_another_system", "warning", message, found=units, allowed=system),)
