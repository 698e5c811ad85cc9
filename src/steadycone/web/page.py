"""One page of the table: its path, who may see it, and how large a body it takes."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from steadycone.web.guard.body import FORM
from steadycone.web.guard.rights import Right

if TYPE_CHECKING:
    from starlette.responses import Response

    from steadycone.web.desk import Desk


@dataclass(frozen=True, slots=True)
class Page:
    """`answer` is given a desk and gives a response.

    takes : what a POST brings: a form (with at most one file), or JSON
    most : bytes of a body
    """

    path: str
    answer: "Callable[[Desk], Response]"
    needs: Right = "read"
    method: Literal["GET", "POST"] = "GET"
    takes: Literal["form", "json"] = "form"
    most: int = FORM


def get(path: str, answer: "Callable[[Desk], Response]", needs: Right = "read") -> Page:
    return Page(path, answer, needs)


def post(
    path: str, answer: "Callable[[Desk], Response]", needs: Right, *, most: int = FORM, takes: Literal["form", "json"] = "form"
) -> Page:
    return Page(path, answer, needs, "POST", takes, most)
