"""Draw the README's picture, docs/card.png, from the demo station's card.

python -m tools.picture
"""

from datetime import date
from pathlib import Path

from steadycone.card.make import make_card
from steadycone.files.read import read_setup
from steadycone.render.json_card import card_dict
from steadycone.render.model import View
from steadycone.render.pdf_card import png_card
from steadycone.render.view import view_of

ROOT = Path(__file__).parent.parent
PICTURE = ROOT / "docs" / "card.png"
DEMO_DATE = date(2026, 11, 25)  # as in the Makefile
DOTS_PER_INCH = 110.0


def demo_view() -> View:
    """The demo card as it is now."""
    made = make_card(read_setup(ROOT / "examples" / "slip-2.toml"), DEMO_DATE)
    return view_of(made, card_dict(made))


if __name__ == "__main__":
    PICTURE.write_bytes(png_card(demo_view(), DOTS_PER_INCH))
    print(PICTURE.relative_to(ROOT))
