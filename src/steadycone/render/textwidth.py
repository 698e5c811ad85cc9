"""Advance widths of B612, so that a drawing can tell whether its words fit. Regular and Bold are equally wide."""

# Thousandths of the type size, read from the committed font; a test compares them with it.
_USUAL = 600
_WIDTHS = {
    200: "'|",
    250: ",;·",
    300: ".:°³²Iij",
    350: " !l’",
    400: '"frt',
    450: "()-[Js",
    500: "=]czC≈",
    525: "a",
    550: "*$/\\?`FLPSekvxyé–−_£",
    650: "0123456789<>ABDGRVXµ{",
    700: "&HU",
    750: "N^~w…½¼¾",
    800: "OQ×",
    850: "#",
    900: "%Mm",
    950: "W",
    1000: "@",
    1050: "—",
}
_OF = {letter: width for width, letters in _WIDTHS.items() for letter in letters}
_OF |= dict.fromkeys("CEKPTYZ+bdghnopqu}ü", 600)


def text_width(text: str, size: float) -> float:
    """Width of a text in the units of its size. A letter not in the table counts as an average one."""
    return sum(_OF.get(letter, _USUAL) for letter in text) * size / 1000


def fit(text: str, size: float, width: float) -> str:
    """The text, or as much of it as fits with an ellipsis."""
    if text_width(text, size) <= width:
        return text
    while text and text_width(text.rstrip() + "…", size) > width:
        text = text[:-1]
    return text.rstrip() + "…"


def wrap(text: str, size: float, width: float) -> list[str]:
    """The text in lines that fit, broken at spaces; a word longer than a line is broken where it must be."""
    lines: list[str] = []
    space, now = text_width(" ", size), 0.0
    for word in text.split():
        wide = text_width(word, size)
        if lines and now + space + wide <= width:
            lines[-1] += f" {word}"
            now += space + wide
            continue
        while len(word) > 1 and wide > width:
            most = next(n for n in range(len(word) - 1, 0, -1) if n == 1 or text_width(word[:n], size) <= width)
            lines.append(word[:most])
            word = word[most:]
            wide = text_width(word, size)
        lines.append(word)
        now = wide
    return lines
