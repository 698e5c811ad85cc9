"""Kinds of gear and gases, as people write them and as the register keeps them."""

from collections.abc import Mapping, Sequence
from typing import get_args

from steadycone.errors import UnknownName, nearest
from steadycone.records.events import ItemClass

KINDS: tuple[ItemClass, ...] = get_args(ItemClass)
NEEDS_GAS = ("regulator", "arrestor", "check valve", "hose", "manifold")  # made for one gas or one family of gases
GASES = ("oxygen", "acetylene", "propane", "propylene", "methane", "hydrogen", "lpg", "natural gas", "butane", "mps", "any fuel")
_KIND_WORDS: dict[str, ItemClass] = {
    "reg": "regulator", "pressure regulator": "regulator", "flashback arrestor": "arrestor", "flash arrestor": "arrestor",
    "flashback arrester": "arrestor", "arrester": "arrestor", "fba": "arrestor", "non-return valve": "check valve", "nrv": "check valve",
    "non return valve": "check valve", "checkvalve": "check valve", "blowpipe": "torch", "handle": "torch", "shank": "torch",
    "torch handle": "torch", "cutting torch": "torch", "attachment": "torch", "cutting attachment": "torch", "heating attachment": "torch",
    "welding attachment": "torch", "trolly": "trolley", "cart": "trolley", "nozzle": "tip", "quick coupling": "coupling", "pressure gauge": "gauge",
    "reference gauge": "master gauge", "test gauge": "master gauge", "calibrated gauge": "master gauge", "flowmeter": "flow meter",
    "rotameter": "flow meter", "float meter": "flow meter",
}  # fmt: skip
_GAS_WORDS = {
    "o2": "oxygen", "oxy": "oxygen", "ox": "oxygen", "c2h2": "acetylene", "dissolved acetylene": "acetylene", "da": "acetylene", "h2": "hydrogen",
    "lp gas": "lpg", "ch4": "methane", "fuel": "any fuel", "all fuels": "any fuel", "fuel gas": "any fuel",
}  # fmt: skip


def read_kind(text: str) -> tuple[ItemClass, str]:
    """The kind, and the gas where the text names one too: "oxygen hose".

    Raises  UnknownName, with the nearest kind.
    """
    first, _, rest = " ".join(text.lower().split()).partition(" ")
    gas = _GAS_WORDS.get(first, first)
    if rest and gas in GASES:
        return _kind(rest), gas
    return _kind(text), ""


def _kind(text: str) -> ItemClass:
    found = _read(text, KINDS, _KIND_WORDS, "kind of gear")
    return next(kind for kind in KINDS if kind == found)


def read_gas(text: str) -> str:
    """Raises UnknownName, with the nearest gas."""
    return _read(text, GASES, _GAS_WORDS, "gas")


def _read(text: str, known: Sequence[str], words: Mapping[str, str], what: str) -> str:
    plain = " ".join(text.lower().split())
    for form in (plain, plain.removesuffix("s")):
        if form in known or form in words:
            return words.get(form, form)
    raise UnknownName(f'"{text[:40]}" is not a {what}', where=what, try_=nearest(plain, [*known, *words]))
