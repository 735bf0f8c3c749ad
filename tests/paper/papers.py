"""Papers drawn at once, for tests that look at the PDF alone."""

from __future__ import annotations

from collections.abc import Callable
from typing import ParamSpec

from entryprep.paper.errorlist import errors_paper
from entryprep.paper.fitsheet import fit_sheets_paper
from entryprep.paper.layout import Written
from entryprep.paper.packing import packing_paper
from entryprep.paper.shipping import shipping_paper

P = ParamSpec("P")


def _drawn(paper: Callable[P, Written]) -> Callable[P, bytes]:
    def pdf(*args: P.args, **options: P.kwargs) -> bytes:
        return paper(*args, **options).pdf()

    return pdf


errors_pdf = _drawn(errors_paper)
fit_sheets_pdf = _drawn(fit_sheets_paper)
packing_pdf = _drawn(packing_paper)
shipping_pdf = _drawn(shipping_paper)
