"""Time and peak memory of drawings, PDFs and kept offers of growing roofs, and of quotes for growing
bills beside the bare library.

The bare run sets the same pages: the same paragraphs, tables with the same cells, widths and commands, the same plan,
a foot with the page's number on each page, made of the library's own classes from texts that are ready; it has no tags,
no number of pages, no check for characters the fonts lack.

Run: python -m tests.benchmarks.bench_documents
"""

from __future__ import annotations

import io
import time
import tracemalloc
from collections.abc import Callable, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field, replace
from typing import Any
from unittest.mock import patch

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, KeepTogether, PageTemplate, Paragraph, Table

from estimator.comparison import offer
from estimator.comparison.records import Offer
from estimator.documents.drawing.sheets import PlanSheet
from estimator.documents.fonts.faces import REGULAR
from estimator.documents.pdf import parts as pdf_parts
from estimator.documents.pdf.page import LYING, UPRIGHT, page_size, page_template
from estimator.documents.plan.dxf import write_plan_dxf
from estimator.documents.plan.svg import write_plan_svg
from estimator.documents.quote import pdf as quote_pdf
from estimator.documents.quote.pdf import write_quote
from estimator.documents.setting_out.pdf import write_setting_out
from estimator.job import Choices, Mounting
from estimator.storage.records.codec import freeze, thaw
from tests.builders import a_job, a_roof, an_array
from tests.documents.offers import DATED, a_header, an_offer, house_book, with_lines

ROOFS = ((10, 25), (50, 50), (100, 250))
LINES = (10, 100, 1_000, 5_000)
GIVEN = Mounting("rail_on_side", "across_ribs", material="aluminium", max_span_mm=1250.0, max_cantilever_mm=350.0)


def measured(write: Callable[[], bytes]) -> tuple[float, float, int]:
    """Best of three in seconds of processor time, peak megabytes, kilobytes written."""
    best, written = 1e9, b""
    for _ in range(3):
        started = time.process_time()
        written = write()
        best = min(best, time.process_time() - started)
    tracemalloc.start()
    write()
    peak = tracemalloc.get_traced_memory()[1] / 1e6
    tracemalloc.stop()
    return best, peak, len(written) // 1000


def a_large_offer(rows: int, columns: int) -> Offer:
    """A roof of one array, its spans given, so that only the documents count."""
    array = an_array(rows=rows, columns=columns)
    roof = replace(
        a_roof(arrays=(array,)), eave_length_mm=columns * 1020.0 + 3000.0, slope_length_mm=rows * 1720.0 + 2000.0
    )
    return offer(a_job(roof, mounting=GIVEN), house_book(), Choices(), DATED)


@dataclass
class Recipe:
    """A part of a page before it is made: the library's class and what it is made of."""

    kind: Callable[..., Any]
    arguments: tuple[Any, ...]
    named: dict[str, Any]
    later: dict[str, Any] = field(default_factory=dict)

    def __setattr__(self, name: str, value: object) -> None:
        if name in {"kind", "arguments", "named", "later"}:
            object.__setattr__(self, name, value)
        else:
            self.later[name] = value

    def __getattr__(self, name: str) -> Any:
        return None

    def made(self) -> Any:
        """The part, and all that lies in it, new."""
        part = self.kind(*made(self.arguments), **{name: made(value) for name, value in self.named.items()})
        for name, value in self.later.items():
            setattr(part, name, value)
        return part


def made(value: object) -> Any:
    """Recipes within a value made; everything else as it stands."""
    if isinstance(value, Recipe):
        return value.made()
    if type(value) in (list, tuple):
        return type(value)([made(each) for each in value])
    return value


def recipes_of(priced: Offer) -> list[Any]:
    """The parts of a quote's pages, none of them made yet, the plan's sheets among them."""

    def kept(kind: Callable[..., Any]) -> Callable[..., Recipe]:
        return lambda *arguments, **named: Recipe(kind, arguments, {k: v for k, v in named.items() if k != "renderCB"})

    story: list[Any] = []
    with ExitStack() as stack:
        for name in ("HeadingParagraph", "TitleParagraph", "TaggedParagraph"):
            stack.enter_context(patch.object(pdf_parts, name, kept(Paragraph)))
        stack.enter_context(
            patch.object(
                pdf_parts,
                "quick_table",
                lambda rows, widths, commands, **named: kept(Table)(rows, colWidths=widths, style=commands, **named),
            )
        )
        stack.enter_context(patch.object(quote_pdf, "KeepTogether", kept(KeepTogether)))
        stack.enter_context(patch("estimator.documents.drawing.sheets.PlanSheet", kept(PlanSheet)))
        stack.enter_context(patch.object(quote_pdf, "build_pdf", lambda parts, head: story.extend(parts) or b""))
        write_quote(priced, a_header(paper="A4"))
    return story


def bare(recipes: list[Any]) -> bytes:
    """The same pages by the library alone."""

    def foot(canvas: Canvas, document: BaseDocTemplate) -> None:
        canvas.setFont(REGULAR, 6)
        canvas.drawString(45, 28, f"Quote Q-7, page {document.page}")

    out = io.BytesIO()
    document = BaseDocTemplate(out, pagesize=page_size("A4"), invariant=1)
    templates: list[PageTemplate] = [page_template(UPRIGHT, "A4", False), page_template(LYING, "A4", True)]
    for each in templates:
        each.onPage = foot
    document.addPageTemplates(templates)
    document.build(made(recipes))
    return out.getvalue()


def main(roofs: Sequence[tuple[int, int]] = ROOFS, lines: Sequence[int] = LINES) -> None:
    for rows, columns in roofs:
        large = a_large_offer(rows, columns)
        kept = freeze(large)
        works = {"keep": lambda large=large: freeze(large), "load": lambda kept=kept: thaw(kept) and kept}
        for name, write in (("svg", write_plan_svg), ("dxf", write_plan_dxf), ("quote", write_quote),
                            ("setting-out", write_setting_out)):  # fmt: skip
            works[name] = lambda write=write, large=large: write(large, a_header())
        for name, work in works.items():
            seconds, peak, size = measured(work)
            print(f"{rows * columns:6d} modules  {name:12s} {seconds:6.2f} s {peak:7.1f} MB {size:7d} kB")
    print(" lines  | ours: s      MB      kB | bare: s      MB      kB | ours/bare")
    for count in lines:
        long = with_lines(an_offer("plain"), count)
        recipes = recipes_of(long)
        ours = measured(lambda long=long: write_quote(long, a_header()))
        alone = measured(lambda recipes=recipes: bare(recipes))
        print(
            f"{count:7d} | {ours[0]:7.3f} {ours[1]:7.1f} {ours[2]:7d} | {alone[0]:7.3f} {alone[1]:7.1f} {alone[2]:7d} |"
            f" {ours[0] / alone[0]:9.2f}"
        )


if __name__ == "__main__":
    main()
