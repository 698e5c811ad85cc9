"""One typst template and its data to a PDF: our own fonts, no date, no package; the same bytes every time."""

import json
from typing import Any

from steadycone.errors import SolveError
from steadycone.render import styles


def typeset(template: str, inputs: dict[str, Any], **how: Any) -> bytes:
    """The bytes of a page or pages. `template`: a file of render/templates; it reads `inputs` as JSON from sys.inputs.card.

    Raises  SolveError: the page could not be set, or only with a warning (a font or letter that is missing).
    """
    import typst  # here: 80 MB that only a printed page needs

    trouble = "Use the HTML or the text; please report this."
    try:
        made, warnings = typst.compile_with_warnings(
            (styles.FOLDER / "templates" / template).read_bytes(),
            font_paths=[str(styles.FOLDER / "fonts")],
            ignore_system_fonts=True,
            sys_inputs={"card": json.dumps(inputs)},
            **how,
        )
    except typst.TypstError as error:
        raise SolveError(f"the page could not be set: {error}", where="pdf", try_=trouble) from error
    if warnings:
        raise SolveError(f"the page was set with a warning: {warnings[0]}", where="pdf", try_=trouble)
    assert isinstance(made, bytes)
    return made
