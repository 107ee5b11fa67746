"""Which part a rule of the book counts: the one it names, or the one that plays its role in this mounting."""

from __future__ import annotations

from estimator.errors import Fault, FilePlace, PricebookRefused
from estimator.mounting import MountingChoice
from estimator.pricebook import AssemblyRule, Book, Part
from estimator.pricebook.lookups import parts_for_role


def part_of_rule(book: Book, choice: MountingChoice, rule: AssemblyRule) -> Part:
    """The part a rule counts.

    Bracket, clamps and splices are those of the mounting; any other role is the one part with that role in the
    mounting's material, or the one without a material. Errors: PricebookRefused naming the rule's row.
    """
    names = (rule.part,) if rule.part else _playing(book, choice, rule.role)
    if len(names) != 1 or names[0] not in book.parts:
        raise PricebookRefused(f"pricebook {book.id}: {_found(rule, names)}", [_fault(rule, names)])
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


def _found(rule: AssemblyRule, names: tuple[str, ...]) -> str:
    what = f"part {rule.part}" if rule.part else f"role {rule.role}"
    found = "the book has no such part" if len(names) < 2 else f"several parts play it: {', '.join(names)}"
    return f"rule {rule.rule} counts {what}, {found}"


def _fault(rule: AssemblyRule, names: tuple[str, ...]) -> Fault:
    column = "part" if rule.part else "role"
    return Fault(FilePlace("assembly_rules.csv", rule.row, column), _found(rule, names), "one part")
