from collections.abc import Iterator

import pytest
from msgspec import inspect

from siteplan.model.document import COLLECTIONS, Document, find_record, records_of
from siteplan.model.fields import is_place, quantity_of
from siteplan.model.quantities import UNIT_ENDINGS
from tests.model.sample_sites import courtyard

ENDINGS = {
    "length": "_mm",
    "angle": "_rad",
    "weight": "_kg",
    "torque": "_nm",
    "time": "_s",
    "turning speed": "_rad_s",
    "wind speed": "_m_s",
    "pressure": "_pa",
}


def mutable_parts(kind: inspect.Type, path: str = "") -> Iterator[str]:
    """Yield the fields of a record type that could change behind its back."""
    match kind:
        case inspect.StructType():
            if not kind.cls.__struct_config__.frozen:
                yield f"{kind.cls.__name__} is not frozen"
            for field in kind.fields:
                yield from mutable_parts(field.type, f"{kind.cls.__name__}.{field.name}")
        case inspect.TupleType() | inspect.UnionType():
            for part in kind.item_types if isinstance(kind, inspect.TupleType) else kind.types:
                yield from mutable_parts(part, path)
        case inspect.VarTupleType():
            yield from mutable_parts(kind.item_type, path)
        case inspect.ListType() | inspect.DictType() | inspect.SetType() | inspect.AnyType() | inspect.CustomType():
            yield path


def numbers_in(kind: inspect.Type, path: str = "Document") -> Iterator[tuple[str, inspect.Type]]:
    """Yield every number of a record type with its path; a place counts as one."""
    match kind:
        case inspect.StructType():
            for field in kind.fields:
                yield from numbers_in(field.type, f"{kind.cls.__name__}.{field.name}")
        case inspect.UnionType():
            for part in kind.types:
                yield from numbers_in(part, path)
        case inspect.VarTupleType():
            yield from numbers_in(kind.item_type, path)
        case inspect.Metadata() | inspect.FloatType() | inspect.TupleType():
            yield path, kind


NUMBERS = dict(numbers_in(inspect.type_info(Document)))


def test_records_hold_nothing_that_can_change() -> None:
    assert list(mutable_parts(inspect.type_info(Document))) == []


@pytest.mark.parametrize("path", NUMBERS)
def test_every_number_is_a_quantity_or_a_place(path: str) -> None:
    kind = NUMBERS[path]

    assert quantity_of(kind) is not None or is_place(kind)


@pytest.mark.parametrize("path", [path for path, kind in NUMBERS.items() if quantity_of(kind)])
def test_the_unit_of_every_number_stands_in_its_name(path: str) -> None:
    ending = ENDINGS.get(quantity_of(NUMBERS[path]) or "", "")

    assert path.endswith(ending) if ending else not path.endswith(UNIT_ENDINGS)


@pytest.mark.parametrize("kind", COLLECTIONS)
def test_the_sample_site_holds_every_kind_of_record(kind: type) -> None:
    assert kind in map(type, records_of(courtyard()))


def test_find_record_of_an_unknown_id_is_none() -> None:
    assert find_record(courtyard(), "nobody") is None
