"""Which font can write a text. A letter that a font lacks would be left out without a word, and a gap in a record goes unseen."""

from typing import Any

OWN = ("B612",)
OTHER = ("Libertinus Serif", "DejaVu Sans Mono")  # inside the typesetter: Polish, Czech, Turkish, Greek, Cyrillic
_OWN_LETTERS = frozenset("–—‘’“”„‚‹›•…€−≈≤≥→ŒœŠšŸ") | {chr(number) for number in range(0x20, 0x100)}  # of B612; a test looks
_OTHER_RANGES = ((0x100, 0x180), (0x370, 0x52F), (0x1E00, 0x1F00), (0x2010, 0x2027))
_NOTHING = frozenset("\x7f\xad") | {chr(number) for number in range(0x80, 0xA0)}
_PLAIN = _OWN_LETTERS - _NOTHING


def fonts_for(texts: Any) -> tuple[str, ...]:
    """Our own font where it has every letter, else others for the whole document."""
    return OWN if all(letter in _OWN_LETTERS for text in strings(texts) for letter in text) else OTHER


def strings(tree: Any) -> list[str]:
    """Every text in lists and tables."""
    if isinstance(tree, str):
        return [tree]
    if isinstance(tree, dict):
        return [text for value in tree.values() for text in strings(value)]
    return [text for value in tree for text in strings(value)] if isinstance(tree, list | tuple) else []


def printable(text: str) -> str:
    """The text in letters that some font here has: any other is written as its number, such as [U+4E2D]."""
    if _PLAIN.issuperset(text):  # nearly every text, and every drawing
        return text
    return "".join(_letter(letter) for letter in text)


def printable_tree(tree: Any) -> Any:
    """Every text in lists and tables in letters that some font here has; tuples become lists."""
    if isinstance(tree, str):
        return printable(tree)
    if isinstance(tree, dict):
        return {key: printable_tree(value) for key, value in tree.items()}
    return [printable_tree(value) for value in tree] if isinstance(tree, list | tuple) else tree


def _letter(letter: str) -> str:
    number = ord(letter)
    if letter in _NOTHING or (number < 0x20 and letter not in "\n\t"):
        return ""
    if letter in "\n\t":
        return " "
    if letter in _OWN_LETTERS or any(low <= number < high for low, high in _OTHER_RANGES):
        return letter
    return f"[U+{number:04X}]"
