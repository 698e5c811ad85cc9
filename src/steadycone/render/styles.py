"""The style sheets, for a page and for an SVG that stands alone (a PDF, a file): there colours are written out."""

import re
from functools import cache
from pathlib import Path

FOLDER = Path(__file__).parent
_TOKEN = re.compile(r"--([\w-]+):(#[0-9A-Fa-f]{6})")


@cache
def sheet(name: str) -> str:
    """A style sheet of this folder without its comments."""
    return plain((FOLDER / name).read_text(encoding="utf-8"))


def plain(text: str) -> str:
    """A sheet without its comments."""
    return re.sub(r"/\*.*?\*/\s*", "", text, flags=re.DOTALL).strip()


@cache
def light_colours() -> dict[str, str]:
    """The colours on paper, by name; the first block of the tokens."""
    return dict(_TOKEN.findall(sheet("tokens.css").partition("@media")[0]))


def alone(hoses: str) -> str:
    """The drawing's style sheet with light colours written out; `hoses` as the view has it, "oxygen-blue fuel-red"."""
    colours = light_colours()
    gases = dict(part.split("-") for part in hoses.split())
    named = colours | {gas: colours[colour] for gas, colour in gases.items()}
    return re.sub(r"var\(--([\w-]+)\)", lambda found: named[found[1]], sheet("train.css")).replace("\n", "")


def font_bytes(weight: str) -> bytes:
    """A committed font: Regular or Bold."""
    return (FOLDER / "fonts" / f"B612-{weight}.otf").read_bytes()
