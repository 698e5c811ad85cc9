"""A number and its unit as people write them, taken apart."""

import re

from steadycone.errors import BadUnit, InputError

LONGEST_TEXT = 80
_NUMBER = re.compile(
    r"\s*([+-]?)(?:(\d+)\s+(\d+)\s*/\s*(\d+)|(\d+)\s*/\s*(\d+)|((?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,3})?))\s*(.*?)\s*\Z", re.DOTALL
)


def split(text: str) -> tuple[float, str, float]:
    """Number, unit text and half of the last digit written (0 for a fraction).

    Raises  BadUnit: not a number with a decimal point or a fraction in front.
    """
    if len(text) > LONGEST_TEXT:
        raise InputError(f"a value of {len(text)} characters", try_=f"A value is a number and a unit, {LONGEST_TEXT} characters at most.")
    found = _NUMBER.match(text)
    if not found or re.match(r"[\d,.]", found[8]):
        hint = "Write decimals with a point and no thousands mark" if re.search(r"\d,\d", text) else "Write a number and its unit"
        raise BadUnit(f'"{text}" is not a number with a unit', try_=f'{hint}, such as "3.5 bar", "3/16 in" or "1 1/4 in".')
    sign, whole, over, under, over2, under2, plain, unit = found.groups()
    half = 0.0
    if plain is not None:
        value = float(plain)
        mantissa, _, exponent = plain.lower().partition("e")
        half = float(f"5e{int(exponent or 0) - len(mantissa.partition('.')[2]) - 1}")  # a power of ten could overflow
    elif int(under or under2) == 0:
        raise BadUnit(f'"{text}" divides by zero', try_='Write a fraction such as "3/16 in".')
    else:
        value = int(whole or 0) + int(over or over2) / int(under or under2)
    return (-value if sign == "-" else value), unit, half


def tidy(unit: str) -> str:
    """The unit with plain digits, one sign for each of its letters and single spaces."""
    plain = unit.replace("³", "3").replace("²", "2").replace("º", "°").replace("μ", "µ").replace("−", "-").replace("·", " ")
    return " ".join(plain.split())
