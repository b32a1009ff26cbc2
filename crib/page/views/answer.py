"""Which tool? The answer: drawer, pair and station; or what to order and to do meanwhile."""

from __future__ import annotations

from crib.desk.answer.find import find
from crib.features.common.case import Circumstances
from crib.page.frame.reply import FormField, Reply, Shown, View
from crib.page.frame.request import PageRequest


def answer(asked: PageRequest) -> Reply:
    """What the crib has for a phrase; nothing is remembered of it until somebody orders."""
    work = Circumstances(int(asked["quantity"] or 1), int(asked["per_part"] or 1), asked["job"])
    found = find(asked.session, asked["phrase"], work, record=False)
    return Shown("answer", {"found": found}, found)


ASKS = (
    FormField("phrase", needed=True),
    FormField("quantity", "whole"),
    FormField("per_part", "whole"),
)
VIEWS = (View("/tool/answer", answer, takes=(*ASKS, FormField("job"))),)
