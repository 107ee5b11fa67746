"""The same job another way, side by side."""

from __future__ import annotations

from dataclasses import dataclass

from estimator.errors import Finding
from estimator.estimate import Estimate
from estimator.job import CheckOverride
from estimator.money import Money
from estimator.sentences import Sentence

FIRST = "A"
LETTERS = ("B", "C")


@dataclass(frozen=True, slots=True)
class Side:
    """One way to build the job: its estimate in short. ``errors`` are the checks that do not hold in it."""

    subject: str
    option: str
    bracket: str
    rail: str
    attachments: int
    mass_kg: float
    shipped_mass_kg: float
    parts: Money
    freight: Money
    labour: Money
    total: Money
    errors: tuple[Sentence, ...]


@dataclass(frozen=True, slots=True)
class Comparison:
    """The chosen material against the other, and the other arrangements and brackets where they were asked for.

    ``aluminium`` and ``steel`` are None where it cannot be built; ``why_not`` says why. The saving is that of
    aluminium over steel: positive where aluminium is lighter or cheaper. ``basis`` says what both sides leave out of
    the quote, so that like is compared with like; empty where nothing is left out.
    """

    aluminium: Side | None
    steel: Side | None
    why_not: tuple[Sentence, ...]
    saving_mass_kg: float | None
    saving_mass_share: float | None
    saving_freight: Money | None
    saving_total: Money | None
    others: tuple[Side, ...] = ()
    basis: Sentence | str = ""


@dataclass(frozen=True, slots=True)
class QuotedOption:
    """Another way to build the job that the customer may accept instead: its letter, title and whole estimate."""

    letter: str
    title: str
    estimate: Estimate


@dataclass(frozen=True, slots=True)
class Offer:
    """A whole answer: the estimate, its comparison, and up to two options beside it."""

    estimate: Estimate
    comparison: Comparison
    options: tuple[QuotedOption, ...] = ()

    @property
    def ways(self) -> tuple[QuotedOption, ...]:
        """Everything that the customer may accept; the estimate itself is option A."""
        return (QuotedOption(FIRST, "", self.estimate), *self.options)

    @property
    def errors(self) -> tuple[tuple[str, Finding], ...]:
        """The checks that keep it from being issued, each with its option's letter, where there are options."""
        named = bool(self.options)
        return tuple((way.letter if named else "", each) for way in self.ways for each in way.estimate.errors)

    @property
    def overridden(self) -> tuple[CheckOverride, ...]:
        """Every override, of whichever option, each once."""
        return tuple(dict.fromkeys(word for way in self.ways for word in way.estimate.overridden))

    @property
    def letters(self) -> tuple[str, ...]:
        """The letters by which an acceptance names what it takes: A is the estimate itself."""
        return tuple(way.letter for way in self.ways)

    def taken(self, letter: str | None) -> Estimate:
        """The estimate of the option of that letter; without one, the estimate itself."""
        return next((option.estimate for option in self.options if option.letter == letter), self.estimate)
