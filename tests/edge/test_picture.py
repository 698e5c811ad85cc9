"""The README's picture is of the card that the demo gives now."""

import io

import zxingcpp
from PIL import Image
from tools.picture import PICTURE, demo_view


def test_the_picture_in_the_readme_is_of_the_card_of_today() -> None:
    view = demo_view()
    codes = zxingcpp.read_barcodes(Image.open(io.BytesIO(PICTURE.read_bytes())).convert("L"))
    told = " ".join(code.text for code in codes)
    assert view.name in told, "make picture draws it again"
    assert view.hash in told, "make picture draws it again"
