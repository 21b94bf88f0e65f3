"""Every number of every record, found by the types of its fields.

One walk serves the value card, the marks and the site files: a new field of a record needs no code here or there.
A number goes by its path in the record: ``length_mm``, ``at.0``, ``line.2.1``, ``plates.0.from_mm``.
"""

from collections.abc import Callable, Iterator
from itertools import islice
from typing import NamedTuple, SupportsFloat, TypeVar

from msgspec import Struct, inspect
from msgspec.structs import replace

from siteplan.errors import ModelError
from siteplan.model.quantities import XY, Quantity, kind_name, name_of, spoken

AXES = ("right", "inward")
"""What the two numbers of a place in the plan are called."""

PLAIN: dict[type, tuple[type, str]] = {
    inspect.NoneType: (type(None), "nothing"),
    inspect.BoolType: (bool, "true or false"),
    inspect.IntType: (int, "a whole number"),
    inspect.FloatType: (float, "a number"),
    inspect.StrType: (str, "a text"),
}
"""What holds the plain types of fields, and what that is called."""

Kind = inspect.Type
StructT = TypeVar("StructT", bound=Struct)


class NumberField(NamedTuple):
    """One number of a record."""

    path: str
    label: str  # spoken: "near edge", "at, right", "line 3, inward"
    quantity: Quantity
    signed: bool
    value: float | None  # mm, rad, kg or a plain ratio; None: not known


_fields: dict[type[Struct], dict[str, inspect.Field]] = {}


def fields_of(kind: type[Struct]) -> dict[str, inspect.Field]:
    """Return the fields of a record type by name, with the types of what they hold."""
    if kind not in _fields:
        _learn(inspect.type_info(kind))
    return _fields[kind]


def _learn(kind: Kind) -> None:
    """Keep the fields of a record type, and of all records in it: describing them one by one would take three times."""
    match kind:
        case inspect.StructType() if kind.cls not in _fields:
            _fields[kind.cls] = {field.name: field for field in kind.fields}
            for field in kind.fields:
                _learn(field.type)
        case inspect.UnionType():
            for one in kind.types:
                _learn(one)
        case inspect.VarTupleType():
            _learn(kind.item_type)


def number_fields(record: Struct) -> Iterator[NumberField]:
    """Yield every number of a record in the order of its fields, those not known included."""
    for field in fields_of(type(record)).values():
        yield from _numbers(field.type, getattr(record, field.name), field.name, field_label("", field.name))


def number_at(record: Struct, path: str) -> float | None:
    """Return one number of a record, or None when it is not known.

    Raises
    ------
    ModelError
        When there is no number at the path.
    """
    kind, value = _found(record, path)
    if quantity_of(narrowed(kind, value)) is None:
        raise ModelError(f"{name_of(record)}: {path!r} is not a number of a {kind_name(type(record))}.")
    return float(value) if isinstance(value, SupportsFloat) else None


def with_number(record: StructT, path: str, value: float | None) -> StructT:
    """Return the record with one number changed; everything else is shared.

    Raises
    ------
    ModelError
        When there is no number at the path, or no site can have the value.
    """
    number_at(record, path)
    return with_value(record, path, None if value is None else float(value))


def value_at(record: Struct, path: str) -> object:
    """Return what stands at a path of a record.

    Raises
    ------
    ModelError
        When the record has no such field.
    """
    return _found(record, path)[1]


def has_path(record: Struct, path: str) -> bool:
    """Return whether a record has a field at a path."""
    try:
        _found(record, path)
    except ModelError:
        return False
    return True


def with_value(record: StructT, path: str, value: object) -> StructT:
    """Return the record with the value at one path changed; the very record when nothing changes.

    Raises
    ------
    ModelError
        When the record has no such field, or the field cannot hold the value.
    """
    kind, old = _found(record, path)
    if same(old, value):
        return record
    if not fits(kind, value):
        raise ModelError(f"{name_of(record)}: {said_path(path)} must be {wanted(kind)}, not {value!r}.")
    head, _, rest = path.partition(".")
    return replace(record, **{head: _with_piece(getattr(record, head), rest, value)})


def with_places(record: StructT, change: Callable[[XY], XY]) -> StructT:
    """Return the record with every place in the plan changed; the very record when it holds none."""
    changes = {}
    for name, field in fields_of(type(record)).items():
        old = getattr(record, name)
        new = _with_places(field.type, old, change)
        if new is not old:
            changes[name] = new
    return replace(record, **changes) if changes else record


def fits(kind: Kind, value: object) -> bool:
    """Return whether a field of a type can hold a value."""
    match kind:
        case inspect.Metadata():
            return fits(kind.type, value)
        case inspect.UnionType():
            return any(fits(one, value) for one in kind.types)
        case inspect.LiteralType():
            return isinstance(value, str) and value in kind.values
        case inspect.StructType():
            return isinstance(value, kind.cls)
        case inspect.TupleType() | inspect.VarTupleType():
            if not isinstance(value, tuple) or len(value) != len(list(parts_of_tuple(kind, value))):
                return False
            return all(fits(part, one) for part, one in parts_of_tuple(kind, value))
    plain, _ = PLAIN[type(kind)]
    return isinstance(value, plain) and (plain is bool or not isinstance(value, bool))


def wanted(kind: Kind) -> str:
    """Return in words what a field of a type holds: "a length", "in or out", "true or false"."""
    match kind:
        case inspect.Metadata():
            quantity = quantity_of(kind)
            return f"an {quantity}" if quantity == "angle" else f"a {quantity}"
        case inspect.UnionType():
            return " or ".join(wanted(one) for one in kind.types if not isinstance(one, inspect.NoneType))
        case inspect.LiteralType():
            *first, last = (str(value) for value in kind.values)
            return f"{', '.join(first)} or {last}" if first else last
        case inspect.StructType():
            return f"a {kind_name(kind.cls)}"
        case inspect.TupleType():
            return f"a list of {len(kind.item_types)}"
        case inspect.VarTupleType():
            return "a list"
    return PLAIN[type(kind)][1]


def quantity_of(kind: Kind) -> Quantity | None:
    """Return what quantity a type stands for, or None when it is no number with a unit."""
    if not isinstance(kind, inspect.Metadata) or not kind.extra:
        return None
    quantity: Quantity | None = kind.extra.get("quantity")
    return quantity


def is_signed(kind: Kind) -> bool:
    """Return whether numbers of a quantity may lie below zero."""
    return isinstance(kind, inspect.Metadata) and bool(kind.extra and kind.extra.get("signed"))


def narrowed(kind: Kind, value: object) -> Kind:
    """Return the one type out of "this or that or None" which a value has; a value of None may be of the only other."""
    if not isinstance(kind, inspect.UnionType):
        return kind
    others = [one for one in kind.types if not isinstance(one, inspect.NoneType)]
    if len(others) == 1:
        return others[0]
    return next((one for one in others if fits(one, value)), kind)


def parts_of_tuple(kind: Kind, value: tuple[object, ...]) -> Iterator[tuple[Kind, object]]:
    """Yield each part of a tuple with its type; nothing when the count does not fit."""
    match kind:
        case inspect.VarTupleType():
            yield from ((kind.item_type, part) for part in value)
        case inspect.TupleType() if len(kind.item_types) == len(value):
            yield from zip(kind.item_types, value, strict=True)


def is_place(kind: Kind) -> bool:
    """Return whether a type is a place in the plan: a pair of lengths."""
    return isinstance(kind, inspect.TupleType) and [quantity_of(one) for one in kind.item_types] == ["length"] * 2


def field_label(above: str, name: str) -> str:
    """Return the spoken name of a field, after that of the record within the record it belongs to."""
    own = spoken(name).replace("_", " ")
    return f"{above}, {own}" if above else own


def item_label(above: str, kind: Kind, number: int) -> str:
    """Return the spoken name of one part of a tuple: "line 3", "plate 1", "at, right"."""
    match kind:
        case inspect.TupleType() if is_place(kind):
            return f"{above}, {AXES[number]}"
        case inspect.VarTupleType(item_type=inspect.StructType(cls=cls)):
            return f"{kind_name(cls)} {number + 1}"
    return f"{above} {number + 1}"


def said_path(path: str) -> str:
    """Return a path in the words of the site file: without units."""
    return ".".join(spoken(piece) for piece in path.split("."))


def same(first: object, second: object) -> bool:
    """Return whether two values are the same to the last bit: equal, and with the same sign of zero."""
    return first is second or (first == second and repr(first) == repr(second))


def _numbers(kind: Kind, value: object, path: str, label: str) -> Iterator[NumberField]:
    kind = narrowed(kind, value)
    quantity = quantity_of(kind)
    if quantity is not None:
        number = float(value) if isinstance(value, SupportsFloat) else None
        yield NumberField(path, label, quantity, is_signed(kind), number)
    elif isinstance(value, Struct):
        for field in fields_of(type(value)).values():
            inner = getattr(value, field.name)
            yield from _numbers(field.type, inner, f"{path}.{field.name}", field_label(label, field.name))
    elif isinstance(value, tuple):
        for number_of_part, (part_kind, part) in enumerate(parts_of_tuple(kind, value)):
            under = item_label(label, kind, number_of_part)
            yield from _numbers(part_kind, part, f"{path}.{number_of_part}", under)


def _found(record: Struct, path: str) -> tuple[Kind, object]:
    kind: Kind = inspect.AnyType()
    value: object = record
    for piece in path.split("."):
        step = _step(narrowed(kind, value), value, piece)
        if step is None:
            raise ModelError(f"{name_of(record)}: there is no {said_path(path)!r} in a {kind_name(type(record))}.")
        kind, value = step
    return kind, value


def _step(kind: Kind, value: object, piece: str) -> tuple[Kind, object] | None:
    match value:
        case Struct():
            field = fields_of(type(value)).get(piece)
            return None if field is None else (field.type, getattr(value, piece))
        case tuple() if piece in map(str, range(len(value))):
            return next(islice(parts_of_tuple(kind, value), int(piece), None), None)
    return None


def _with_piece(whole: object, path: str, value: object) -> object:
    if not path:
        return value
    piece, _, rest = path.partition(".")
    if isinstance(whole, tuple):
        number = int(piece)
        return (*whole[:number], _with_piece(whole[number], rest, value), *whole[number + 1 :])
    assert isinstance(whole, Struct)
    return replace(whole, **{piece: _with_piece(getattr(whole, piece), rest, value)})


def _with_places(kind: Kind, value: object, change: Callable[[XY], XY]) -> object:
    kind = narrowed(kind, value)
    match value:
        case Struct():
            return with_places(value, change)
        case (SupportsFloat() as x, SupportsFloat() as y) if is_place(kind):
            return change((float(x), float(y)))
        case tuple():
            parts = tuple(_with_places(part_kind, part, change) for part_kind, part in parts_of_tuple(kind, value))
            return parts if any(new is not old for new, old in zip(parts, value, strict=True)) else value
    return value
