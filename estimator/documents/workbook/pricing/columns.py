"""The columns of priced lines, each with its one formula: the takeoff's lines and the lines added in the workbook."""

from __future__ import annotations

from dataclasses import dataclass

from estimator.documents.language.words import group_name
from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.pricing.price_lists import PriceLists
from estimator.documents.xlsx.looks import COUNT, LINE, PERCENT, SMALL, TEXT, WRAPPED, as_input
from estimator.documents.xlsx.numbers.measures import measured_heads
from estimator.documents.xlsx.page import columns_for
from estimator.documents.xlsx.tables import Column, Heads

MARGIN_RULE = "{cost}/(1-Margin)"
MARKUP_RULE = "IF(ISNUMBER(Margin),{cost}/(1-Margin),{cost}*(1+BookMarkup))"


def pricing_heads(draft: Draft, table: str) -> Heads:
    """The heads of a table of priced lines, in the reader's language."""
    t = draft.t
    heads = {
        "line": t("Line"),
        "part": t("Part"),
        "group": t("Group"),
        "description": t("Description"),
        "ordered": t("Ordered"),
        "struck": t("Struck"),
        "quantity": t("Quantity"),
        "number": t("List no."),
        "unit_cost": t("Unit cost"),
        "given_price": t("Price given"),
        "list_price": t("List price"),
        "unit_price": t("Unit price"),
        "discount": t("Line discount"),
        "price": t("Line price"),
        "cost": t("Line cost"),
        "margin": t("Margin"),
        "margin_share": t("Margin share"),
        **measured_heads("mass", t("Unit mass (kg)"), "mass", draft.units),
        **measured_heads("shipped_mass", t("Mass (kg)"), "mass", draft.units),
        "price_from": t("Price from"),
        "reason": t("Reason for a change"),
        "tax_rest": t("Discount remainder"),
        "tax_whole": t("Discount, whole units"),
        "tax_share": t("Share of discount"),
        "tax": t("Tax"),
    }
    return Heads(table, heads)


def customer_heads(draft: Draft) -> Heads:
    """The heads of the customer's table of priced lines."""
    wanted = ("line", "part", "group", "description", "quantity", "unit_price", "discount", "price")
    tax = ("tax_rest", "tax_whole", "tax_share", "tax")
    heads = pricing_heads(draft, "Pricing").heads
    return Heads("Pricing", {key: heads[key] for key in (*wanted, *tax)} | {"unit": draft.t("Unit")})


@dataclass(frozen=True, slots=True)
class Formulas:
    """What the formulas of a table of priced lines are made of. ``guard`` names what a row needs to be counted."""

    draft: Draft
    heads: Heads
    lists: PriceLists
    guard: str = ""

    def guarded(self, formula: str) -> str:
        """Nothing where the row is empty."""
        return f'IF({self.guard},{formula},"")' if self.guard else formula

    def unit_price(self) -> str:
        """A price given, else the list price, else the price from cost; rounded to the book's places."""
        this, places = self.heads.this, self.draft.book.price_places
        rule = MARKUP_RULE if self.draft.bill.pricing_method == "markup" else MARGIN_RULE
        from_cost = self.draft.rounded(rule.format(cost=this("unit_cost")), places)
        listed = f"IF(ISNUMBER({this('list_price')}),{self.draft.rounded(this('list_price'), places)},{from_cost})"
        return self.guarded(f"IF(ISNUMBER({this('given_price')}),{this('given_price')},{listed})")

    def unit_cost(self) -> str:
        """The book's cost at the break of the quantity."""
        return self.guarded(self.lists.cost_at(self.heads.this("number"), self.heads.this("quantity")))

    def price(self) -> str:
        """Quantity times unit price less the line's discount, rounded once."""
        this = self.heads.this
        product = f"{this('quantity')}*{this('unit_price')}*(1-{this('discount')})"
        return self.guarded(self.draft.rounded(product))

    def cost(self) -> str:
        """Quantity times unit cost, rounded once."""
        this = self.heads.this
        return self.guarded(self.draft.rounded(f"{this('quantity')}*{this('unit_cost')}"))

    def margin(self) -> str:
        """Price less cost."""
        return self.guarded(f"{self.draft.rounded(self.heads.this('price') + '-' + self.heads.this('cost'))}")

    def margin_share(self) -> str:
        """The margin's share of the price."""
        this = self.heads.this
        return self.guarded(f"IF({this('price')}=0,0,ROUND({this('margin')}/{this('price')},4))")


def pricing_columns(draft: Draft, formulas: Formulas) -> tuple[Column, ...]:
    """The columns of the takeoff's lines in the estimator's edition."""
    head, money = formulas.heads.heads, draft.money
    quantity = f'IF({formulas.heads.this("struck")}="",{formulas.heads.this("ordered")},0)'
    return (
        Column("line", head["line"], 6, LINE),
        Column("part", head["part"], 16, TEXT),
        Column("group", head["group"], _group_width(draft), TEXT),
        Column("description", head["description"], 30, WRAPPED),
        Column("ordered", head["ordered"], 9, as_input(COUNT)),
        Column("struck", head["struck"], 7, as_input(TEXT)),
        Column("quantity", head["quantity"], 9, COUNT, quantity),
        Column("number", head["number"], 6, COUNT),
        Column("unit_cost", head["unit_cost"], 10, money.unit_price, formulas.unit_cost()),
        Column("given_price", head["given_price"], 10, as_input(money.unit_price)),
        Column("list_price", head["list_price"], 10, money.unit_price),
        Column("unit_price", head["unit_price"], 10, money.unit_price, formulas.unit_price()),
        Column("discount", head["discount"], 9, as_input(PERCENT)),
        Column("price", head["price"], 12, money.amount, formulas.price()),
        Column("cost", head["cost"], 12, money.amount, formulas.cost()),
        Column("margin", head["margin"], 11, money.amount, formulas.margin()),
        Column("margin_share", head["margin_share"], 8, PERCENT, formulas.margin_share()),
        Column("price_from", head["price_from"], 30, SMALL),
        Column("reason", head["reason"], 18, as_input(TEXT)),
    )


def _group_width(draft: Draft) -> float:
    """Room for the longest of the groups' names, which are the language's."""
    names = {group_name(line.group, draft.reader) for line in draft.bill.lines}
    return min(26.0, max(11.0, *(columns_for(name, whole=True) + 1.0 for name in names)))
