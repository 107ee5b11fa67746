"""Every benchmark once, small: that it runs, and the ratios it prints. No time limit, nothing is judged.

Run: python -m tests.benchmarks
"""

import time

from tests.benchmarks import (
    bench_beams,
    bench_core,
    bench_cutting,
    bench_documents,
    bench_open,
    bench_pages,
    bench_plausible,
    bench_quick,
    bench_repricing,
    bench_requests,
    bench_service,
    bench_setting_out,
    bench_workbook,
)

SMALL = {
    "core": lambda: bench_core.main((24, 60)),
    "cut plans": lambda: bench_cutting.main(2, None, ("small",)),
    "quick cut plans": lambda: bench_quick.main(1, 100),
    "mountings left open": lambda: bench_open.main(2),
    "setting out": lambda: bench_setting_out.main(10, 25),
    "beams": lambda: bench_beams.main(((4, 600, 4),)),
    "documents": lambda: bench_documents.main(((5, 10),), (10, 50)),
    "workbooks": lambda: bench_workbook.main((50,)),
    "requests": lambda: bench_requests.main((24,)),
    "a running service": lambda: bench_service.main(24, 5, 4, 60),
    "re-pricing": lambda: bench_repricing.main(20, 24),
    "pages": lambda: bench_pages.main((100,), (24,)),
    "plausible requests": lambda: bench_plausible.main(50),
}


def main():
    for name, run in SMALL.items():
        print(f"== {name}", flush=True)
        began = time.perf_counter()
        run()
        print(f"   {time.perf_counter() - began:.1f} s", flush=True)


if __name__ == "__main__":
    main()
