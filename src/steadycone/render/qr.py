"""QR codes: of a card, its station's name and its hash, so that paper finds its file again; of anything else, a text."""

import io


def payload(name: str, card_hash: str) -> str:
    return f"steadycone card\n{name}\n{card_hash}"


def qr_svg(name: str, card_hash: str) -> str:
    return code_svg(payload(name, card_hash), "QR code: station name and card hash")


def code_svg(text: str, title: str) -> str:
    """An SVG with a viewBox and four quiet modules, dark on white in every theme. Sized by whoever places it."""
    import segno  # here: only pages carry it

    code = segno.make_qr(text, error="m", boost_error=False)
    out = io.BytesIO()
    code.save(
        out, kind="svg", border=4, omitsize=True, xmldecl=False, svgns=True, nl=False, svgclass="qr", lineclass=None,
        dark="#14181B", light="#FFFFFF", title=title,
    )  # fmt: skip
    return out.getvalue().decode()
