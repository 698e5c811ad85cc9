"""Values kept while they are used: the ones asked for last, as many as fit."""

import threading
from collections import OrderedDict
from collections.abc import Callable
from typing import Generic, TypeVar

_Key = TypeVar("_Key")
_Value = TypeVar("_Value")


class Kept(Generic[_Key, _Value]):
    """The values used last, as many as fit; any thread may ask. Two who ask at once may both make one: it is the same."""

    def __init__(self, most: int, weight: Callable[[_Value], int] = lambda value: 1) -> None:
        self._most, self._weight, self._used = most, weight, 0
        self._values: OrderedDict[_Key, _Value] = OrderedDict()
        self._lock = threading.Lock()

    def get(self, name: _Key, make: Callable[[], _Value]) -> _Value:
        """The value kept under a name; made where there is none. What `make` raises is not kept."""
        with self._lock:
            if name in self._values:
                self._values.move_to_end(name)
                return self._values[name]
        value = make()
        with self._lock:
            if name not in self._values:
                self._values[name] = value
                self._used += self._weight(value)
            while self._used > self._most and len(self._values) > 1:
                _, old = self._values.popitem(last=False)
                self._used -= self._weight(old)
        return value
