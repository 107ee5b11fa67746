"""An order list on paper: the whole list, or one supplier's."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from estimator.documents.paper import OrderForm
from estimator.documents.papers import ORDER_FORMS
from estimator.documents.purchasing.facts import for_supplier
from estimator.errors import Conflict, NotFound
from estimator.orders import Delivery, OrderList, deliveries_of
from estimator.sentences import say
from estimator.service.calculations import Tell, ignore
from estimator.service.ordering.order_lists import StoredOrderList


def order_paper(
    kept: StoredOrderList, form: str, supplier: str | None = None, delivery: str | None = None, *, tell: Tell = ignore
) -> tuple[str, bytes]:
    """``write`` or, of one delivery, ``write_of_delivery``, by the form's name: as a process for papers is asked."""
    if delivery is not None:
        return write_of_delivery(kept, delivery, ORDER_FORMS[form])
    return write(kept, supplier, ORDER_FORMS[form])


def paper_asked(kept: StoredOrderList, form: OrderForm, supplier: str | None, delivery: str | None) -> dict[str, Any]:
    """A paper as an operation keeps it; ``file`` is its name. Errors: as those of ``order_paper``."""
    if delivery is not None:
        _delivery(kept, delivery)
    else:
        _lists(kept, supplier, form)
    told = f"-{delivery or supplier}" if delivery or supplier else ""
    file = f"{kept.number}{told}-{form.file}"
    return {"order_list": kept.id, "name": form.name, "supplier": supplier, "delivery": delivery, "file": file}


def write(kept: StoredOrderList, supplier: str | None, form: OrderForm) -> tuple[str, bytes]:
    """A file's name and bytes; what goes to one supplier is in its own language and units.

    Errors: NotFound for a supplier the list does not hold; Conflict for a form the list does not have.
    """
    lists = _lists(kept, supplier, form)
    name = f"{kept.number if supplier is None else f'{kept.number}-{supplier}'}-{form.file}"
    if supplier is not None or form.to_one:
        own, header = for_supplier(lists[0], kept.header)
        return name, form.write([own], header, ())
    if form.write_whole is not None:
        return name, form.write_whole(kept.lists, kept.header)
    return name, form.write(lists, kept.header, kept.lists.together)


def write_of_delivery(kept: StoredOrderList, number: str, form: OrderForm) -> tuple[str, bytes]:
    """A file of one delivery: its name and bytes. Errors: NotFound for a number that there is not."""
    found = _delivery(kept, number)
    header = replace(kept.header, number=f"{kept.number}-{found.number}")
    name = f"{header.number}-{form.file}"
    if form.write_delivery is not None:
        return name, form.write_delivery(found, kept.lists, header)
    return name, form.write(found.lists, header, ())


def _delivery(kept: StoredOrderList, number: str) -> Delivery:
    found = next((each for each in deliveries_of(kept.lists.moving) if str(each.number) == number), None)
    if found is None:
        raise NotFound(say("no such delivery on this list"))
    return found


def _lists(kept: StoredOrderList, supplier: str | None, form: OrderForm) -> list[OrderList]:
    """The lists that a paper is of: the supplier's own, or all."""
    lists = [each for each in kept.lists.lists if supplier in (None, each.supplier.supplier)]
    if supplier is not None and not lists:
        raise NotFound(say("no such supplier on this list"))
    if supplier is None:
        _check_one(lists, form)
    elif not form.of_supplier:
        raise NotFound(say("this paper is of the whole order"))
    return lists


def _check_one(lists: Sequence[OrderList], form: OrderForm) -> None:
    """Refuse (Conflict) several suppliers' lists, or none, in a form that goes to one."""
    if form.to_one and len(lists) != 1:
        names = ", ".join(each.supplier.supplier for each in lists) or "none"
        raise Conflict(say("{to_one} goes to one supplier; ask for one of: {names}", to_one=form.to_one, names=names))
