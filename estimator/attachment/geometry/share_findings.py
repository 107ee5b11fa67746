"""What the modules of an array give to each of the rails under them, said where it is not simply half each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from estimator.attachment.geometry.module_shares import module_shares
from estimator.errors import Finding
from estimator.layout import ArrayLayout, RoofLayout
from estimator.places import Place
from estimator.sentences import Sentence, figure, joined, say

Places = tuple[float, ...]
UNEVEN = 0.005


def share_findings(roof: RoofLayout, array: ArrayLayout, lines: Iterable[Places]) -> Iterator[Finding]:
    """The shares of the most unevenly loaded module of an array, with the assumption they rest on.

    Args:
        roof: the roof the array lies on.
        array: the array.
        lines: for every different set of rails, their places across the module as shares of its extent.

    A note; a warning where rails stand so close together that modules lift off one of them.

    """
    worst = max(set(lines), key=lambda places: max(each.checked for each in module_shares(places)), default=None)
    if worst is None:
        return
    shares = module_shares(worst)
    if max(abs(each.statics - 1 / len(shares)) for each in shares) <= UNEVEN:
        return
    place = Place(roof=roof.name, array=array.name)
    most = round(max(each.checked for each in shares), 3)
    yield Finding("module_shares", "note", _carried(place, worst), place, most)
    lifted = max(each.reversed for each in shares)
    if lifted > 0:
        text = say(
            "{where}: the rails stand so close together that modules lift off one of them with {share} of their load; "
            "rails and clamps are checked for it",
            where=place,
            share=figure(lifted, ".3f"),
        )
        yield Finding("module_lifts_off", "warning", text, place, round(lifted, 3), 0.0)


def _carried(place: Place, lines: Places) -> Sentence:
    shares = module_shares(lines)
    return (
        say(
            "{where}: rails at {places} of the module carry {shares} of its load, by equilibrium",
            where=place,
            places=_numbers(lines),
            shares=_numbers(each.statics for each in shares),
        )
        if len(shares) == 2
        else say(
            "{where}: rails at {places} of the module carry {shares} of its load, the module taken as a beam of even "
            "stiffness on rails that do not give way; since they do, the middle one is checked for {least} at least",
            where=place,
            places=_numbers(lines),
            shares=_numbers(each.statics for each in shares),
            least=figure(shares[1].checked, ".3f"),
        )
    )


def _numbers(values: Iterable[float]) -> Sentence:
    return joined(", ", (figure(value, ".3f") for value in values))
