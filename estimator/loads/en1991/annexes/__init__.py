"""The numbers that each nation sets for the Eurocodes: one file an annex, named here; jobs choose one by its name.

Takes nothing; gives numbers by annex. An annex stands here only when its numbers have been compared with the printed
one; until then a job names what it sets by symbol (``factors``), and the sheet marks it as given.
"""

from estimator.loads.en1991.annexes.recommended import RECOMMENDED as RECOMMENDED
from estimator.loads.en1991.annexes.records import NationalNumbers as NationalNumbers
from estimator.loads.en1991.annexes.records import PartialFactors as PartialFactors
from estimator.loads.en1991.annexes.records import WindParameters as WindParameters

ANNEXES: dict[str, NationalNumbers] = {"recommended": RECOMMENDED}
"""Annexes by the name that a job gives."""
