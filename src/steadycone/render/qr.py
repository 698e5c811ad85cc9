"""The QR code of a card: station name and card hash, so that paper finds its file again."""

import io


def payload(name: str, card_hash: str) -> str:
    return f"steadycone card\n{name}\n{card_hash}"


def qr_svg(name: str, card_hash: str) -> str:
    """An SVG with a viewBox and four quiet modules, dark on white in every theme. Sized by whoever places it."""
    import segno  # here: only pages carry it

    code = segno.make_qr(payload(name, card_hash), error="m", boost_error=False)
    out = io.BytesIO()
    code.save(
        out, kind="svg", border=4, omitsize=True, xmldecl=False, svgns=True, nl=False, svgclass="qr", lineclass=None,
        dark="#14181B", light="#FFFFFF", title="QR code: station name and card hash",
    )  # fmt: skip
    return out.getvalue().decode()
