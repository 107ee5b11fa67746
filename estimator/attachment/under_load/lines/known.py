"""Lines checked once however often they stand on the roofs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from estimator.attachment.under_load.lines.check import check_lines
from estimator.attachment.under_load.records import Line, LineCheck, RoofStrength
from estimator.layout.work import Work
from estimator.loads import Pressures


@dataclass(slots=True)
class KnownChecks:
    """The distinct lines of a job's roofs and their checks, in the order they were first met; ``work`` counts them."""

    pressures: tuple[Pressures, ...]
    strengths: tuple[RoofStrength, ...]
    places: dict[tuple[int, Line], int] = field(default_factory=dict)
    checks: list[LineCheck] = field(default_factory=list)
    work: Work = field(default_factory=Work)

    def check(self, lines: Iterable[tuple[int, Line | None]]) -> tuple[int, ...]:
        """The place of each (roof, line) among the checks, -1 for none; new lines are solved, all of a roof at once."""
        found: list[int] = []
        new: dict[int, list[Line]] = {}
        for roof, line in lines:
            if line is None:
                found.append(-1)
                continue
            place = self.places.setdefault((roof, line), len(self.places))
            if place == len(self.checks) + sum(map(len, new.values())):
                new.setdefault(roof, []).append(line)
            found.append(place)
        self._solve(new)
        return tuple(found)

    def kept(self, places: tuple[int, ...]) -> tuple[tuple[LineCheck, ...], tuple[int, ...]]:
        """The checks still in use, in the order they are met, and the places among them."""
        numbers = {place: number for number, place in enumerate(dict.fromkeys(p for p in places if p >= 0))}
        return tuple(self.checks[place] for place in numbers), tuple(numbers.get(place, -1) for place in places)

    def _solve(self, new: dict[int, list[Line]]) -> None:
        solved: dict[int, LineCheck] = {}
        for roof, lines in new.items():
            self.work.solve(sum(len(line.attachments_mm) for line in lines))
            checks = check_lines(lines, self.pressures[roof], self.strengths[roof])
            solved |= {self.places[roof, line]: check for line, check in zip(lines, checks, strict=True)}
        self.checks += [solved[place] for place in sorted(solved)]
