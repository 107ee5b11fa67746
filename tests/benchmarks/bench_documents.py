"""Time and peak memory of drawings and PDFs for growing roofs and growing bills, each beside the bare library's.

Run: python tests/benchmarks/bench_documents.py
"""

from __future__ import annotations

import io
import time
import tracemalloc
from collections.abc import Callable
from dataclasses import replace

from reportlab.platypus import SimpleDocTemplate, Table

from estimator.comparison import offer
from estimator.documents.fonts import REGULAR, ensure_fonts
from estimator.documents.plan_dxf import write_plan_dxf
from estimator.documents.plan_svg import write_plan_svg
from estimator.documents.quote_pdf import write_quote
from estimator.documents.setting_out import write_setting_out
from estimator.job import Mounting, Wishes
from tests.builders import a_job, a_roof, an_array
from tests.documents.offers import DATED, a_header, an_offer, house_book, with_lines

GIVEN = Mounting("side_rail", "across_ribs", material="aluminium", max_span_mm=1250.0, max_cantilever_mm=350.0)


def measured(write: Callable[[], bytes]) -> tuple[float, float, int]:
    """Seconds of processor time, peak megabytes, kilobytes written."""
    started = time.process_time()
    written = write()
    seconds = time.process_time() - started
    tracemalloc.start()
    write()
    peak = tracemalloc.get_traced_memory()[1] / 1e6
    tracemalloc.stop()
    return seconds, peak, len(written) // 1000


def a_large_offer(rows: int, columns: int) -> object:
    """A roof of one array, its spans given, so that only the documents count."""
    array = an_array(rows=rows, columns=columns)
    roof = replace(
        a_roof(arrays=(array,)), eave_length_mm=columns * 1020.0 + 3000.0, slope_length_mm=rows * 1720.0 + 2000.0
    )
    return offer(a_job(roof, mounting=GIVEN), house_book(), Wishes(), DATED)


def bare_table(rows: int) -> bytes:
    """As many rows of five strings by the library alone."""
    ensure_fonts()
    out = io.BytesIO()
    cells = [[f"B-AL/{n:05d}", "bracket B-AL", "25 pcs", "5.8571", "146.43"] for n in range(rows)]
    table = Table(
        cells, colWidths=[84, 200, 58, 62, 74], repeatRows=1, style=[("FONT", (0, 0), (-1, -1), REGULAR, 8.5)]
    )
    SimpleDocTemplate(out, invariant=1).build([table])
    return out.getvalue()


def main() -> None:
    for rows, columns in ((10, 25), (50, 50), (100, 250)):
        large = a_large_offer(rows, columns)
        for name, write in (("svg", write_plan_svg), ("dxf", write_plan_dxf), ("quote", write_quote),
                            ("setting-out", write_setting_out)):  # fmt: skip
            seconds, peak, size = measured(lambda write=write, large=large: write(large, a_header()))
            print(f"{rows * columns:6d} modules  {name:12s} {seconds:6.2f} s {peak:7.1f} MB {size:7d} kB")
    for count in (100, 1_000, 5_000):
        long = with_lines(an_offer("plain"), count)
        seconds, peak, size = measured(lambda long=long: write_quote(long, a_header()))
        bare, _, _ = measured(lambda count=count: bare_table(count))
        ratio = f"{seconds / bare:.2f} x the bare table"
        print(f"{count:6d} lines    quote {seconds:6.2f} s {peak:7.1f} MB {size:7d} kB   {ratio}")


if __name__ == "__main__":
    main()
