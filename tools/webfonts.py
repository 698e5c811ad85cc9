"""The two fonts as the pages send them: the letters that pages need, compressed. `make webfonts` writes them; a test compares."""

import io
from pathlib import Path

from fontTools import subset
from fontTools.ttLib import TTFont

FOLDER = Path(__file__).parents[1] / "src" / "steadycone" / "render" / "fonts"
# Latin with its European letters, punctuation, arrows, and the signs of the trade's numbers.
LETTERS = [
    *range(0x20, 0x180),
    *range(0x2010, 0x2070),
    0x2190,
    0x2191,
    0x2192,
    0x2193,
    0x20AC,
    0x25B2,
    0x25BC,
    0x2122,
    0x2212,
    0x2248,
    0x2264,
    0x2265,
]


def webfont(name: str) -> bytes:
    """A committed font, cut down to LETTERS, as WOFF2."""
    font = TTFont(FOLDER / f"{name}.otf", recalcTimestamp=False)
    cut = subset.Subsetter(subset.Options(layout_features=["*"], flavor="woff2"))
    cut.populate(unicodes=LETTERS)
    cut.subset(font)
    font.flavor = "woff2"
    out = io.BytesIO()
    font.save(out)
    return out.getvalue()


def main() -> None:
    for name in ("B612-Regular", "B612-Bold"):
        (FOLDER / f"{name}.woff2").write_bytes(webfont(name))


if __name__ == "__main__":
    main()
