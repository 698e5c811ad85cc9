"""The JSON Schema of a round's report, made from the types that describe it."""

from typing import Any

import msgspec

from steadycone.render import round_contract
from steadycone.render.round_json import FORMAT


def round_schema() -> dict[str, Any]:
    """Of `steadycone round STATION --json`; the published data/schema/round.schema.json is this."""
    about = "A round's report. Units are fixed; null is applicable but unknown. `hash`: as the card's, over all but itself and made_by."
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": FORMAT, "description": about}
    return head | msgspec.json.schema(round_contract.Round)
