"""Takes: a workbook that an estimator sends back, and the offer and head it was written from.

Gives: every change in the cells that may be changed, every change that is not taken with its reason, every fault, all
at once; and why the total of the workbook is not that of the revision, each cause in money.
May not: trust anything else in the file, or price anything.
"""

from estimator.documents.workbook_reading.account import CAUSES as CAUSES
from estimator.documents.workbook_reading.account import Account as Account
from estimator.documents.workbook_reading.account import Cause as Cause
from estimator.documents.workbook_reading.account import account as account
from estimator.documents.workbook_reading.changes import Change as Change
from estimator.documents.workbook_reading.changes import NotTaken as NotTaken
from estimator.documents.workbook_reading.changes import WorkbookChanges as WorkbookChanges
from estimator.documents.workbook_reading.read import read_workbook as read_workbook
