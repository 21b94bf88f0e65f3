"""Offers: what a person may have meant, kept only where it would be read."""

from collections.abc import Callable, Iterable
from functools import wraps
from typing import Concatenate, ParamSpec, TypeVar

from siteplan.errors import EntryError

Rest = ParamSpec("Rest")
Value = TypeVar("Value")


def with_tried_offers(read: Callable[Concatenate[str, Rest], Value]) -> Callable[Concatenate[str, Rest], Value]:
    """Make a reader offer only texts that it reads itself, and name them in the message of its refusal."""

    @wraps(read)
    def read_or_offer(text: str, /, *args: Rest.args, **kwargs: Rest.kwargs) -> Value:
        try:
            return read(text, *args, **kwargs)
        except EntryError as refusal:
            offers = tried(refusal.offers, lambda offer: read(offer, *args, **kwargs))
            advice = f"; write {' or '.join(offers)}." if offers else "."
            raise EntryError(str(refusal).removesuffix(".") + advice, offers, refusal.at) from None

    return read_or_offer


def tried(offers: Iterable[str], read: Callable[[str], object]) -> tuple[str, ...]:
    """Return the offers that ``read`` takes, each once and in order."""
    return tuple(offer for offer in dict.fromkeys(offers) if _is_read(offer, read))


def _is_read(offer: str, read: Callable[[str], object]) -> bool:
    """Whether a text is read."""
    try:
        read(offer)
    except EntryError:
        return False
    return True
