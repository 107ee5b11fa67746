"""Run the whole takeoff again another way, and set the results side by side."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from estimator.arrangements import PROPERTIES
from estimator.comparison.options import Aim, options_of, quoted
from estimator.comparison.records import Comparison, Offer, Side
from estimator.cutting.records import CutPlan, Effort, Memory
from estimator.deciding import told_to_all
from estimator.errors import Refused
from estimator.estimate import PROMPT, Estimate, estimate, without_lines
from estimator.job import ARRANGEMENTS, MATERIALS, Arrangement, Choices, Job, Material
from estimator.mounting.words import MATERIAL_WORDS
from estimator.pricebook import Book
from estimator.pricing.rail_offers import without_offcuts
from estimator.sentences import Sentence, joined, placed, say

Plans = tuple[CutPlan, ...]
WITHOUT_CHANGES = say("compared without the changes of lines, discounts of lines and off-cuts of this quote")


def offer(
    job: Job,
    book: Book,
    choices: Choices,
    on: date,
    memory: Memory | None = None,
    before: Plans = (),
    effort: Effort = PROMPT,
) -> Offer:
    """The estimate of a job, and the same job in the other material with that material's own parts.

    Refuses what ``estimate`` refuses; where only the other material cannot be built, the comparison says why.
    A search that ``memory`` knows is not made again. ``effort`` is for the mounting that is chosen; of options it is
    the usual one. ``before`` are the cut plans of the offer that is revised: as far as they still stand, none comes out
    dearer.
    """
    usual = replace(PROMPT, memory={} if memory is None else memory, watch=effort.watch, before=before)
    chosen = quoted(job, book, choices, on, replace(effort, memory=usual.memory, before=before))
    aim = (job, book, choices, on)
    options = tuple(options_of(chosen, aim, usual))
    return Offer(chosen, compare_materials(chosen, aim, usual.memory, before), options)


def offer_again(old: Offer, choices: Choices, on: date, memory: Memory | None = None) -> Offer:
    """The same job by the same edition and the same mounting, with other choices.

    The cut plan is the same while nothing it depends on has changed, else no dearer than the old one, as far as that
    stands. Refuses what ``estimate`` refuses.
    """
    kept, before = old.estimate, plans_of(old)
    book = without_offcuts(kept.book)
    usual = replace(PROMPT, memory={} if memory is None else memory, before=before)
    again = quoted(kept.job, book, choices, on, usual, kept)
    if again.cut_plan and again.cut_plan == kept.cut_plan:
        again = replace(again, cut_plan=replace(again.cut_plan, kept="whole"))
    aim = (kept.job, book, choices, on)
    materials = compare_materials(again, aim, usual.memory, before)
    return Offer(again, materials, tuple(options_of(again, aim, usual)))


def plans_of(old: Offer | None) -> Plans:
    """The cut plans of an offer and its options: what a revision of it begins with."""
    ways = () if old is None else (old.estimate, *(option.estimate for option in old.options))
    return tuple(way.cut_plan for way in ways if way.cut_plan is not None)


def compare_materials(chosen: Estimate, aim: Aim, memory: Memory | None = None, before: Plans = ()) -> Comparison:
    """Aluminium and steel side by side, the arrangement being the chosen one.

    Changes of lines, discounts of lines and off-cuts on hand belong to the parts of one material: they are left out on
    both sides, and that is said. The other side is cut with the same effort as the quoted one.
    """
    own = _unchanged(chosen, aim, replace(PROMPT, memory=memory, before=before))
    sides: dict[Material, Side] = {chosen.mounting.material: side_of("material", own)}
    why_not: list[Sentence] = []
    for material in MATERIALS:
        if material not in sides:
            other = _another_way(chosen, aim, memory, material=material)
            if isinstance(other, Estimate):
                sides[material] = side_of("material", other)
            else:
                why_not.append(placed(MATERIAL_WORDS[material], other))
    beside = _beside(sides.get("aluminium"), sides.get("steel"), tuple(why_not))
    return replace(beside, basis=WITHOUT_CHANGES if _changed(aim[2]) else "")


def _changed(choices: Choices) -> bool:
    """Whether the quote holds what belongs to single parts."""
    return bool(choices.line_changes or choices.offcuts or any(rate for _, rate in choices.line_discounts))


def _unchanged(chosen: Estimate, aim: Aim, effort: Effort) -> Estimate:
    """The chosen way without what belongs to single parts; as it is where the quote holds nothing of the kind."""
    if not _changed(aim[2]):
        return chosen
    job, book, choices, on = aim
    taken = chosen.mounting
    mounting = replace(job.mounting, bracket=taken.bracket.part, rail=taken.rail.rail if taken.rail else None)
    asked = replace(_bare(choices), material=taken.material, arrangement=taken.arrangement)
    return estimate(replace(job, mounting=mounting), book, asked, on, effort)


def _bare(choices: Choices) -> Choices:
    """The choices without what belongs to single parts, and without overrides of checks of another way."""
    return replace(without_lines(choices), overrides=(), offcuts=())


def compare_everything(chosen: Estimate, aim: Aim, memory: Memory | None = None) -> Comparison:
    """Besides the materials: every other arrangement, and every other bracket of the chosen material."""
    memory = {} if memory is None else memory
    comparison = compare_materials(chosen, aim, memory)
    others: list[Side] = []
    why_not = list(comparison.why_not)
    for arrangement in ARRANGEMENTS:
        if arrangement != chosen.mounting.arrangement:
            other = _another_way(chosen, aim, memory, arrangement=arrangement)
            _keep("arrangement", other, PROPERTIES[arrangement].spoken, others, why_not)
    for bracket in aim[1].brackets.values():
        if bracket.material == chosen.mounting.material and bracket.part != chosen.mounting.bracket.part:
            other = _another_way(chosen, aim, memory, bracket=bracket.part)
            _keep("bracket", other, say("bracket {bracket}", bracket=bracket.part), others, why_not)
    return replace(comparison, others=tuple(others), why_not=tuple(why_not))


def _keep(
    subject: str, other: Estimate | Sentence, name: Sentence, others: list[Side], why_not: list[Sentence]
) -> None:
    if isinstance(other, Estimate):
        others.append(side_of(subject, other))
    else:
        why_not.append(placed(name, other))


def _another_way(
    chosen: Estimate,
    aim: Aim,
    memory: Memory | None,
    *,
    material: Material | None = None,
    arrangement: Arrangement | None = None,
    bracket: str | None = None,
) -> Estimate | Sentence:
    """The job with one subject changed and what depends on it left open; or why it cannot be built so."""
    job, book, choices, on = aim
    mounting = replace(
        job.mounting,
        bracket=bracket,
        rail=None,
        stock_lengths_mm=None if material else job.mounting.stock_lengths_mm,
    )
    asked = replace(
        _bare(choices),
        material=material or chosen.mounting.material,
        arrangement=arrangement or chosen.mounting.arrangement,
    )
    try:
        return estimate(replace(job, mounting=mounting), book, asked, on, replace(PROMPT, memory=memory))
    except Refused as refusal:
        reasons = [fault.message for fault in refusal.faults]
        return joined("; ", reasons or (refusal.told,))


def side_of(subject: str, way: Estimate) -> Side:
    """One estimate in short."""
    totals = way.bill.totals
    options = {
        "material": way.mounting.material,
        "arrangement": way.mounting.arrangement,
        "bracket": way.mounting.bracket.part,
    }
    return Side(
        subject=subject,
        option=options[subject],
        bracket=way.mounting.bracket.part,
        rail=way.mounting.rail.rail if way.mounting.rail else "",
        attachments=way.counts.counts.attachments,
        mass_kg=way.freight.parts_mass_kg,
        shipped_mass_kg=way.freight.mass_kg,
        parts=totals.parts,
        freight=way.freight.charge,
        labour=totals.labour,
        total=totals.total,
        errors=told_to_all(way.errors),
    )


def _beside(aluminium: Side | None, steel: Side | None, why_not: tuple[Sentence, ...]) -> Comparison:
    if aluminium is None or steel is None:
        return Comparison(aluminium, steel, why_not, None, None, None, None)
    saved = steel.mass_kg - aluminium.mass_kg
    return Comparison(
        aluminium=aluminium,
        steel=steel,
        why_not=why_not,
        saving_mass_kg=round(saved, 3),
        saving_mass_share=round(saved / steel.mass_kg, 4) if steel.mass_kg else None,
        saving_freight=steel.freight - aluminium.freight,
        saving_total=steel.total - aluminium.total,
    )
