"""How far a hose's bore may be off what it is called."""

from steadycone.data.reader import toml
from steadycone.station.parts import Hose

_MM = 1e-3
_LARGEST = 0.1  # of the bore: the smallest hoses are not doubted out of being hoses


def bore_doubt(part: Hose) -> float:
    """By how much the bore [m] may be narrower or wider in the bands: as stated, else a share of the usual tolerance.

    Source      judged-bore-share; bore-tolerance
    """
    if part.bore_tolerance is not None:
        return part.bore_tolerance.si
    usual = toml("defaults.toml")["hose_bore"]
    whole = usual["from_8_mm" if part.bore.si >= 8 * _MM * (1 - 1e-9) else "below_8_mm"] * _MM
    return float(min(usual["share"] * whole, _LARGEST * part.bore.si))
