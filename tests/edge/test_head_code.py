"""The code of a head as somebody types it from paper."""

import pytest

from steadycone.errors import InputError
from steadycone.records.heads import read_code


def test_a_code_is_read_with_blanks_small_letters_and_the_usual_slips() -> None:
    assert read_code(" 12 k7qm 2rzd oxhf 9wnb ") == (12, "12-K7QM-2RZD-0XHF-9WNB")


@pytest.mark.parametrize(
    "typed",
    [
        "",
        "²-K7QM-2RZD-0XHF-9WNB",
        "٣-K7QM-2RZD-0XHF-9WNB",
        "9" * 5000 + "-K7QM-2RZD-0XHF-9WNB",
        "1-K7QM-2RZD-0XHF",
        "1-K7Q!-2RZD-0XHF-9WNB",
    ],
)
def test_anything_else_is_refused_in_words(typed: str) -> None:
    with pytest.raises(InputError, match="not the code of a head"):
        read_code(typed)
