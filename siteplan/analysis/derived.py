"""Results that are worked out again only when the parts they declare have changed."""

from collections.abc import Callable
from typing import Generic, TypeVar

from siteplan.model.document import Document

Result = TypeVar("Result")
KEPT = 8


class Derived(Generic[Result]):
    """A result of the document, remembered by the identity of its declared inputs.

    ``inputs`` pick parts of the document, or are other derived results; ``compute`` gets only what they pick, so it
    cannot depend on anything undeclared.  Records never change, so ``is`` is enough to know an input unchanged; the
    last few results are kept, which makes undo and redo free.  A result that ``keeps_equal`` stays the same object
    while it comes out the same, so that what depends on it is not worked out again.
    """

    def __init__(
        self, compute: Callable[..., Result], *inputs: Callable[[Document], object], keeps_equal: bool = False
    ) -> None:
        self._compute = compute
        self._inputs = inputs
        self._keeps_equal = keeps_equal
        self._known: list[tuple[tuple[object, ...], Result]] = []
        self._latest: tuple[Document, Result] | None = None

    def __call__(self, document: Document) -> Result:
        """Return the result for a document."""
        latest = self._latest
        if latest is not None and latest[0] is document:
            return latest[1]  # asked again about the same document: the inputs need not be asked
        result = self._result(tuple(pick(document) for pick in self._inputs))
        self._latest = (document, result)
        return result

    def _result(self, values: tuple[object, ...]) -> Result:
        for known, result in self._known:
            if all(old is new for old, new in zip(known, values, strict=True)):
                return result
        result = self._compute(*values)
        if self._keeps_equal:
            result = next((known for _, known in self._known if known == result), result)
        self._known = [(values, result), *self._known[: KEPT - 1]]
        return result
