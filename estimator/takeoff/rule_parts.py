"""Which part a rule of the book counts: the one it names, or the one that plays its role in this mounting."""

from __future__ import annotations

from estimator.errors import Fault, FilePlace, PricebookRefused
from estimator.mounting import MountingChoice
from estimator.pricebook import AssemblyRule, Book, Part
from estimator.pricebook.lookups import parts_for_role
from estimator.sentences import Sentence, say


def part_of_rule(book: Book, choice: MountingChoice, rule: AssemblyRule) -> Part:
    """The part a rule counts.

    Bracket, clamps and splices are those of the mounting; any other role is the one part with that role in the
    mounting's material, or the one without a material. Errors: PricebookRefused naming the rule's row.
    """
    names = (rule.part,) if rule.part else _playing(book, choice, rule.role)
    if len(names) != 1 or names[0] not in book.parts:
        raise PricebookRefused(
            say("pricebook {book}: {found}", book=book.id, found=_found(rule, names)), [_fault(rule, names)]
        )
    return book.parts[names[0]]


def _playing(book: Book, choice: MountingChoice, role: str) -> tuple[str, ...]:
    if role == "bracket":
        return (choice.bracket.part,)
    if role == "mid_clamp":
        return (choice.mid_clamp.part,)
    if role == "end_clamp":
        return (choice.end_clamp.part,)
    if role in ("splice", "expansion_splice"):
        rail = choice.rail.rail if choice.rail else ""
        return tuple(each.part for each in book.splices if each.rail == rail and each.kind == role)
    return tuple(part.part for part in parts_for_role(book.parts, role, choice.material))


def _found(rule: AssemblyRule, names: tuple[str, ...]) -> Sentence:
    if rule.part:
        return say("rule {rule} counts part {part}, the book has no such part", rule=rule.rule, part=rule.part)
    if len(names) < 2:
        return say("rule {rule} counts role {role}, the book has no such part", rule=rule.rule, role=rule.role)
    return say(
        "rule {rule} counts role {role}, several parts play it: {names}",
        rule=rule.rule,
        role=rule.role,
        names=", ".join(names),
    )


def _fault(rule: AssemblyRule, names: tuple[str, ...]) -> Fault:
    column = "part" if rule.part else "role"
    return Fault(FilePlace("assembly_rules.csv", rule.row, column), _found(rule, names), say("one part"))
