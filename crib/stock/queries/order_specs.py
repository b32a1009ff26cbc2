"""What is ordered, in figures, as an order line keeps it."""

from __future__ import annotations

import json

from crib.errors import BadValue
from crib.features.common.tool_spec import ToolSpec, spec_from_json


def spec_text(spec: ToolSpec | None) -> str:
    """A specification as it is kept; empty for none."""
    return "" if spec is None else json.dumps(spec.as_json(), ensure_ascii=False)


def read_spec(text: str) -> ToolSpec | None:
    """A specification that was kept; None where a line has none, or one that is not to be read."""
    try:
        return spec_from_json(json.loads(text)) if text else None
    except (ValueError, BadValue):
        return None
