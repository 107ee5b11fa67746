"""Takes: the folder, zip or files of one edition of a pricebook, as an estimator keeps them in a spreadsheet.

Gives: the Book, or every fault of its files at once; the editions of several folders and the one in force on a date.
May not: price anything, know a job, or change a file.
"""

from estimator.storage.books.editions import (
    Edition as Edition,
)
from estimator.storage.books.editions import (
    book_in_force as book_in_force,
)
from estimator.storage.books.editions import (
    edition_of_zip as edition_of_zip,
)
from estimator.storage.books.editions import (
    find_editions as find_editions,
)
from estimator.storage.books.files import (
    MAX_ZIP_MEMBERS as MAX_ZIP_MEMBERS,
)
from estimator.storage.books.files import (
    files_of_folder as files_of_folder,
)
from estimator.storage.books.files import (
    files_of_zip as files_of_zip,
)
from estimator.storage.books.files import (
    folder_sha256 as folder_sha256,
)
from estimator.storage.books.read import (
    read_book as read_book,
)
from estimator.storage.books.read import (
    read_book_files as read_book_files,
)
from estimator.storage.books.read import (
    read_book_zip as read_book_zip,
)
