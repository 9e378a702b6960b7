"""An index beside the fields of a frozen value: no part of it, not compared, not kept with it.

A town has thousands of runs, and each is asked for by its id.
"""

from typing import Generic, TypeVar

Index = TypeVar("Index")


class Indexed(Generic[Index]):
    """A frozen, slotted dataclass with an index that is made when it is first asked for."""

    __slots__ = ("_index",)
    _index: Index

    def _indexed(self) -> Index:
        """The index, made once."""
        try:
            return self._index
        except AttributeError:
            found = self._made_index()
        object.__setattr__(self, "_index", found)
        return found

    def _made_index(self) -> Index:
        raise NotImplementedError
