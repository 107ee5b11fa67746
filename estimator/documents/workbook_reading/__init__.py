"""Takes: a workbook that an estimator sends back, and the offer and head it was written from.

Gives: every change in the cells that may be changed, and every fault among them, all at once.
May not: trust anything else in the file, or price anything.
"""

from estimator.documents.workbook_reading.changes import Change as Change
from estimator.documents.workbook_reading.changes import NotTaken as NotTaken
from estimator.documents.workbook_reading.changes import WorkbookChanges as WorkbookChanges
from estimator.documents.workbook_reading.read import read_workbook as read_workbook
