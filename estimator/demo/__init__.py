"""Takes: nothing.

Gives: where the shipped pricebooks and demo jobs lie, in a checkout and in an installed package alike.
May not: read or judge them; the readers of books and jobs do.
"""

from estimator.demo.places import (
    DemoJob as DemoJob,
)
from estimator.demo.places import (
    books_folder as books_folder,
)
from estimator.demo.places import (
    demo_jobs as demo_jobs,
)
from estimator.demo.places import (
    sample_job as sample_job,
)
