"""The fast writer of canonical JSON gives the bytes of the rfc8785 library, or leaves the value to it."""

import math
from typing import Any

import pytest
import rfc8785
from hypothesis import example, given
from hypothesis import strategies as st
from tests.edge.render_samples import NAMES, card, told

from steadycone import canonical

scalars = st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | st.floats(allow_nan=False, allow_infinity=False) | st.text()
values = st.recursive(
    scalars, lambda inner: st.lists(inner) | st.lists(inner).map(tuple) | st.dictionaries(st.text(), inner), max_leaves=30
)


@given(values)
@example({"\ufb33": 1, "\U0001f600": 2, "é": 3, "a": 4})
@example([1e16, 1e21, 1e-5, 1e-7, 5e-324, -0.0, 0.0, 1.0, 123456789012345.0, 0.0001])
@example('\x00\x1f\x7f"\\/\b\f\n\r\t\u2028')
def test_any_value_comes_out_as_the_library_writes_it(value: object) -> None:
    assert canonical.dumps(value) == rfc8785.dumps(value)  # type: ignore[arg-type]


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_any_number_comes_out_as_the_library_writes_it(value: float) -> None:
    assert canonical.dumps(value) == rfc8785.dumps(value)


@pytest.mark.parametrize("name", NAMES)
def test_the_card_of_every_example_comes_out_as_the_library_writes_it(name: str) -> None:
    made = told(card(name))
    assert canonical.dumps(made) == rfc8785.dumps(made)


@pytest.mark.parametrize("bad", [math.nan, math.inf, 2**53, {1: "a"}, {"a": object()}, b"a", "\ud800", {"\ud800": 1}, [{None: 1}]])
def test_what_json_cannot_hold_is_refused_in_the_librarys_words(bad: Any) -> None:
    with pytest.raises(Exception) as ours:  # noqa: PT011 - whatever the library raises
        canonical.dumps(bad)
    with pytest.raises(type(ours.value)) as theirs:
        rfc8785.dumps(bad)
    assert str(ours.value) == str(theirs.value)
