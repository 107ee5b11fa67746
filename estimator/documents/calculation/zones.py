"""The steps of every zone beside one another: what zones share is written once, their values stand in columns."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from reportlab.platypus import Table

from estimator.documents import style
from estimator.documents.calculation.tables import number
from estimator.documents.fonts.faces import BOLD, drawable, text_width
from estimator.documents.language.step_units import in_other_unit
from estimator.documents.language.texts import Reader
from estimator.documents.pdf.page import colour
from estimator.documents.pdf.parts import ROW_LINES, Command, fitted, grid, paragraph, right_from
from estimator.loads.actions.steps import DOUBTFUL, MARK_WORDS, Step
from estimator.loads.sheet import ZoneSheet

SYMBOL, UNIT, CLAUSE, SOURCE, FORMULA = 78.0, 38.0, 104.0, 66.0, 144.0
VALUE = 52.0
"""Points of a zone's column."""


@dataclass(frozen=True, slots=True)
class _Line:
    """One line: a step as some of the zones share it, and each of these zones' own step."""

    step: Step
    steps: Mapping[int, Step]


def zone_tables(zones: Sequence[ZoneSheet], reader: Reader, wide: float) -> Iterator[tuple[str, Table]]:
    """Tables of as many zones as have room beside one another, each with its title."""
    most = max(1, int((wide - SYMBOL - UNIT - CLAUSE - SOURCE - FORMULA) / VALUE))
    for alike in _alike([zone for zone in zones if zone.steps]):
        parts = -(-len(alike) // most)
        size = -(-len(alike) // parts)
        for at in range(0, len(alike), size):
            yield _title(alike[at : at + size], reader), _table(alike[at : at + size], reader, wide)


def _alike(zones: Sequence[ZoneSheet]) -> Iterator[list[ZoneSheet]]:
    """Zones whose steps have the same symbols in the same order, so that line stands beside line."""
    groups: dict[tuple[str, ...], list[ZoneSheet]] = {}
    for zone in zones:
        groups.setdefault(tuple(str(step.symbol) for step in zone.steps), []).append(zone)
    yield from groups.values()


def _title(zones: Sequence[ZoneSheet], reader: Reader) -> str:
    names = ", ".join(reader.zone(zone.zone) for zone in zones)
    t = reader.texts.t
    return t("Zone {name}", name=names) if len(zones) == 1 else t("Zones {names}", names=names)


def _table(zones: Sequence[ZoneSheet], reader: Reader, wide: float) -> Table:
    t = reader.texts.t
    formula = wide - SYMBOL - UNIT - CLAUSE - SOURCE - VALUE * len(zones)
    widths = [SYMBOL, UNIT, formula, CLAUSE, SOURCE, *[VALUE] * len(zones)]
    heads = [_head(reader.zone(zone.zone)) for zone in zones]
    rows: list[list[Any]] = [[t("Symbol"), t("Unit"), t("Formula"), t("Clause"), t("Source"), *heads]]
    commands: list[Command] = [ROW_LINES, right_from(5), ("FACE", (0, 1), (0, -1), BOLD)]
    for line in _lines(zones):
        if line.step.mark in DOUBTFUL:
            commands.append(("BACKGROUND", (0, len(rows)), (-1, len(rows)), colour(style.OCHRE_TINT)))
        rows.append([*_told(line.step, widths, reader), *_values(line, len(zones), reader)])
    return grid(rows, widths, commands)


def _head(name: str) -> str:
    """A zone's name over its column, broken behind its hyphens and between its words."""
    if text_width(name, BOLD, style.TYPE.small) <= VALUE - 2 * style.SPACING.cell:
        return drawable(name)
    return drawable(name.replace("-", "-\n").replace(" ", "\n"))


def _lines(zones: Sequence[ZoneSheet]) -> Iterator[_Line]:
    """Step by step; where formula, clause or source differ between zones, a line for each way."""
    for beside in zip(*(zone.steps for zone in zones), strict=True):
        ways: dict[tuple[str, ...], dict[int, Step]] = {}
        for column, step in enumerate(beside):
            told = (step.unit, str(step.formula), str(step.clause), str(step.mark), str(step.note))
            ways.setdefault(told, {})[column] = step
        for steps in ways.values():
            yield _Line(next(iter(steps.values())), steps)


def _told(step: Step, widths: Sequence[float], reader: Reader) -> list[Any]:
    """Symbol, unit, formula, clause and source of a line."""
    unit, other = step.unit, in_other_unit(step) if len(reader.formats.systems) > 1 else None
    if other is not None:
        unit = f"{unit}\n({other[1]})"
    formula = [paragraph(reader.formula(step.formula))] if step.formula else []
    formula += [paragraph(reader.say(step.note), "muted")] if step.note else []
    mark = reader.say(MARK_WORDS[step.mark])
    source = f"! {mark}" if step.mark in DOUBTFUL else mark
    return [
        fitted(reader.say(step.symbol), widths[0] - 6, "bold"), unit, formula or "",
        fitted(reader.say(step.clause), widths[3] - 6), fitted(source, widths[4] - 6),
    ]  # fmt: skip


def _values(line: _Line, zones: int, reader: Reader) -> Iterator[Any]:
    """The value of every zone the line holds for."""
    for column in range(zones):
        step = line.steps.get(column)
        if step is None:
            yield ""
        elif isinstance(step.value, str):
            yield fitted(step.value, VALUE - 6)
        else:
            other = in_other_unit(step) if len(reader.formats.systems) > 1 else None
            own = number(step.value, reader)
            yield own if other is None else f"{own}\n({number(other[0], reader)})"
