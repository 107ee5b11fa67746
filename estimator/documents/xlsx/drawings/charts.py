"""Bar charts in the house's two colours, with their axes shown."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from openpyxl.chart import BarChart, Reference
from openpyxl.chart.axis import ChartLines
from openpyxl.chart.series import Series
from openpyxl.chart.series_factory import SeriesFactory
from openpyxl.chart.shapes import GraphicalProperties
from openpyxl.chart.text import RichText, Text
from openpyxl.chart.title import Title
from openpyxl.drawing.line import LineProperties
from openpyxl.drawing.text import CharacterProperties, Paragraph, ParagraphProperties, RegularTextRun

from estimator.documents import style
from estimator.documents.xlsx.page import Page

COLOURS = (style.BLUE, style.OCHRE, style.MUTED)


def bar_chart(page: Page, title: str, rows: tuple[int, int], heads: Sequence[str], columns: int = 2) -> BarChart:
    """A chart of lying bars: names in the sheet's first column, one series for each of the next ``columns``.

    ``rows`` are the row of the heads and the last row of figures; ``heads`` the heads of all columns.
    """
    chart = BarChart()
    chart.type = "bar"
    chart.style = 10
    chart.gapWidth = 60
    top, last = rows
    names = Reference(page.sheet, min_col=1, min_row=top + 1, max_row=last)
    for at_series, column in enumerate(range(2, 2 + min(columns, len(heads) - 1))):
        figures = Reference(page.sheet, min_col=column, min_row=top, max_row=last)
        chart.series.append(_coloured(SeriesFactory(figures, title_from_data=True), COLOURS[at_series]))
    chart.set_categories(names)
    show_axes(chart)
    chart.x_axis.scaling.orientation = "maxMin"
    chart.y_axis.majorGridlines = light_lines()
    chart.y_axis.number_format = "#,##0"
    chart.y_axis.crosses = "max"  # the names run from the top down, the figures stand below them
    if len(chart.series) > 1:
        chart.legend.position = "b"
    else:
        chart.legend = None
    quiet_title(chart, title)
    return chart


def light_lines() -> ChartLines:
    """Hairlines behind the bars."""
    return ChartLines(GraphicalProperties(ln=LineProperties(solidFill=style.RULE, w=6350)))


def quiet_title(chart: Any, title: str) -> None:  # noqa: ANN401
    """The title in the size of a sheet's headings."""
    letters = CharacterProperties(sz=1000, b=True, solidFill=style.BLUE)
    run = RegularTextRun(rPr=letters, t=title)
    rich = RichText(p=[Paragraph(pPr=ParagraphProperties(defRPr=letters), r=[run])])
    chart.title = Title(tx=Text(rich=rich), overlay=False)
    small = CharacterProperties(sz=800, solidFill=style.INK)
    for axis in (chart.x_axis, chart.y_axis):
        axis.txPr = RichText(p=[Paragraph(pPr=ParagraphProperties(defRPr=small), endParaRPr=small)])


def place(page: Page, chart: Any, cell: str, width_cm: float, height_cm: float) -> None:  # noqa: ANN401
    """Put a chart of that size on the sheet."""
    chart.width, chart.height = width_cm, height_cm
    page.sheet.add_chart(chart, cell)


def show_axes(chart: BarChart) -> None:
    """Spreadsheets hide an axis that does not say it is shown."""
    chart.x_axis.delete = False
    chart.y_axis.delete = False


def _coloured(series: Series, colour: str) -> Series:
    series.graphicalProperties = GraphicalProperties(solidFill=colour)
    series.invertIfNegative = False
    return series
