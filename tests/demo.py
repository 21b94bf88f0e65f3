"""The demo sites, for tests."""

from pathlib import Path

from msgspec.structs import replace

from siteplan.model.document import Document, find_record
from siteplan.model.edits import with_record
from siteplan.rules.all_rules import check_site
from siteplan.rules.findings import Finding
from siteplan.storage.site_file import read_site

ROOT = Path(__file__).parent.parent
NAMES = ("hill-drive", "courtyard-pair", "fire-lane-townhouses")
INCH = 25.4


def path_of(name: str) -> Path:
    return ROOT / "demo_sites" / f"{name}.json"


def demo_site(name: str) -> Document:
    return read_site(path_of(name)).document


def changed(document: Document, id: str, **fields: object) -> Document:
    """Return the document with fields of one record changed."""
    record = find_record(document, id)
    assert record is not None
    return with_record(document, replace(record, **fields))


def finding(document: Document, code: str, *subjects: str) -> Finding:
    """Return the one finding of a code about these subjects."""
    found = [each for each in check_site(document) if each.code == code and set(subjects) <= set(each.subjects)]
    assert len(found) == 1, found
    return found[0]


def severities(document: Document, code: str) -> list[str]:
    return [each.severity for each in check_site(document) if each.code == code and each.is_trouble]
