"""The pages of the bench, the counter and the buyer; each works as plain forms."""

from __future__ import annotations

from fastapi import APIRouter

from fitcheck.web.pages import (
    bench,
    buyer,
    card,
    counter,
    enter,
    jobs,
    lists,
    records,
    shell,
)
from fitcheck.web.pages.fields import KINDS
from fitcheck.web.pages.view import refusal_page

__all__ = ["ANSWER_PATHS", "UPLOAD_PATHS", "refusal_page", "router"]

# Posts that change nothing in the shop's store; a page that is older than its session may ask too.
ANSWER_PATHS = frozenset(
    {
        *(f"/bench/{kind}" for kind in KINDS),
        *(f"/bench/{kind}/answer" for kind in KINDS),
        *card.ANSWER_PATHS,
    }
)
# Posts that bring a file.
UPLOAD_PATHS = frozenset({*lists.UPLOAD_PATHS, *counter.UPLOAD_PATHS, *records.UPLOAD_PATHS})

router = APIRouter()
for module in (shell, enter, bench, card, counter, records, buyer, lists, jobs):
    router.include_router(module.router)
