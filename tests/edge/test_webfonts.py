"""The fonts that pages send are what `make webfonts` makes of the committed ones, and hold every letter that pages show."""

import io

import pytest
from fontTools.ttLib import TTFont
from tools.webfonts import FOLDER, webfont

NAMES = ("B612-Regular", "B612-Bold")


@pytest.mark.parametrize("name", NAMES)
def test_a_committed_webfont_is_the_one_the_tool_makes(name: str) -> None:
    assert (FOLDER / f"{name}.woff2").read_bytes() == webfont(name)


@pytest.mark.parametrize("name", NAMES)
def test_it_has_the_letters_of_the_tables_and_templates(name: str) -> None:
    has = set(TTFont(io.BytesIO((FOLDER / f"{name}.woff2").read_bytes())).getBestCmap())
    could = set(TTFont(FOLDER / f"{name}.otf").getBestCmap())
    source = FOLDER.parents[1]
    files = [*source.glob("data/**/*.toml"), *source.glob("web/templates/*.j2"), *source.glob("web/static/*.js")]
    shown = {ord(letter) for path in files if "sources" not in path.parts for letter in path.read_text(encoding="utf-8")}
    assert {chr(letter) for letter in (shown & could) - has} == set()
