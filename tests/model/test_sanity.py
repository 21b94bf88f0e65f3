from math import nan

import pytest
from hypothesis import given
from msgspec import Struct
from msgspec.structs import force_setattr, replace

from siteplan.errors import ModelError
from siteplan.model.document import Document
from siteplan.model.gate import Gate, Leaf
from siteplan.model.sanity import check_document, document_faults
from siteplan.model.site import Shot, ShotGround, SurveyPoint
from tests.model.sample_sites import courtyard, documents, unhurried

SITE = courtyard()


def with_first(home: str, **changes: object) -> Document:
    first, *rest = getattr(SITE, home)
    return replace(SITE, **{home: (replace(first, **changes), *rest)})


def test_the_sample_site_has_no_fault() -> None:
    assert list(document_faults(SITE)) == []


@unhurried
@given(documents())
def test_random_sites_have_no_fault(document: Document) -> None:
    assert list(document_faults(document)) == []


@pytest.mark.parametrize(
    ("home", "changes", "message"),
    [
        ("leaves", {"post": "C"}, "Leaf A: hangs on post 'C', but the posts are PA and PB."),
        ("leaves", {"post": ""}, "Leaf A: hangs on post '', but the posts are PA and PB."),
        ("posts", {"hinge": None}, "Leaf A: hangs on post 'PA', which has no hinge axis; those with one: PB."),
        ("gates", {"leaves": ("A", "X")}, "Gate G1: has leaf 'X', but the leaves are A and B."),
        ("gates", {"leaves": ("A", "A")}, "Gate G1: has leaf 'A' 2 times; name each leaf once."),
        ("gates", {"latch_post": "A"}, "Gate G1: closes against post 'A', but the posts are PA and PB."),
        ("drives", {"leaf": ""}, "Drive M1: moves leaf '', but the leaves are A and B."),
        ("drives", {"pad": "X"}, "Drive M1: stands on pad 'X', but the only pad is D1."),
        ("points", {"id": "P2"}, "'P2' is used 2 times, by Survey point P2 and Survey point P2"),
        ("points", {"id": "T1"}, "'T1' is used 2 times, by Survey point T1 and Round T1"),
        ("points", {"id": ""}, "Survey point: an id must not be empty."),
        ("points", {"id": "P 1"}, "Survey point P 1: an id must be one word without blanks, not 'P 1'."),
        ("points", {"id": "ground"}, "Survey point ground: 'ground' cannot be an id"),
    ],
)
def test_a_fault_across_records_is_told(home: str, changes: dict[str, object], message: str) -> None:
    told = [fault.message for fault in document_faults(with_first(home, **changes))]

    assert any(one.startswith(message) for one in told)


def test_no_posts_at_all_is_told() -> None:
    with pytest.raises(ModelError, match="Leaf A: hangs on post 'PA', but there are no posts"):
        check_document(replace(SITE, posts=()))


def test_a_limit_laid_down_twice_is_told() -> None:
    with pytest.raises(ModelError, match="'local C-40' is used 2 times, by Local limit C-40 and Local limit C-40"):
        check_document(replace(SITE, local=SITE.local * 2))


def test_a_shot_that_stands_twice_is_told() -> None:
    assert isinstance(SITE.ground, ShotGround)

    with pytest.raises(ModelError, match="Shot S1 stands 2 times"):
        check_document(replace(SITE, ground=ShotGround(shots=SITE.ground.shots[:1] * 2)))


def test_a_shot_without_an_id_is_told() -> None:
    with pytest.raises(ModelError, match="an id must not be empty"):
        check_document(replace(SITE, ground=ShotGround(shots=(Shot(id="", at=(0.0, 0.0), height_mm=0.0),))))


@pytest.mark.parametrize(("record", "field"), [(courtyard().leaves[0], "length_mm"), (courtyard().datum, "north_rad")])
def test_a_number_that_is_none_is_told_wherever_it_got_in(record: Struct, field: str) -> None:
    broken = replace(record)
    force_setattr(broken, field, nan)
    site = replace(SITE, leaves=(broken,)) if isinstance(broken, Leaf) else replace(SITE, datum=broken)

    with pytest.raises(ModelError, match="must be a plain number, not nan"):
        check_document(site)


def test_all_faults_are_told_one_a_line() -> None:
    site = replace(SITE, posts=(), gates=(*SITE.gates, Gate(id="G2", leaves=("Y",))))

    with pytest.raises(ModelError) as refusal:
        check_document(site)

    assert len(str(refusal.value).splitlines()) == 3


def test_no_more_than_ten_faults_are_told() -> None:
    points = tuple(SurveyPoint(id="", at=(0.0, 0.0)) for _ in range(30))

    with pytest.raises(ModelError) as refusal:
        check_document(replace(SITE, points=points))

    assert len(str(refusal.value).splitlines()) == 10
