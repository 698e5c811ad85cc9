"""From what was heard and seen to the event, what to do first, why it happened, and the gate back to service.

`triage` is the way in. The words, signs, events and texts are tables in data/triage.
"""

from steadycone.procedures.triage.make import triage
from steadycone.procedures.triage.model import Action, Ask, Cause, Caution, Condition, Heard, Triage, Unknown

__all__ = ["Action", "Ask", "Cause", "Caution", "Condition", "Heard", "Triage", "Unknown", "triage"]
