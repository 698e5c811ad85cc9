"""What a procedure asks of a card. The card's own floor is above this one, so it is named here by its shape."""

from typing import Protocol

from steadycone.assembly.figures import Figures
from steadycone.practice.finding import Finding


class Judged(Protocol):
    """A station's figures and its findings."""

    @property
    def figures(self) -> Figures: ...

    @property
    def findings(self) -> tuple[Finding, ...]: ...
