"""A round over one station: `asks` makes the plan, `fold` takes the answers, `judge` says what they mean, `sign` what the signature is worth.

No clock, no files: the same plan and the same answers give the same round.
"""

from steadycone.procedures.rounds.answers import Answer, AnswersFile, read_answers
from steadycone.procedures.rounds.asks import make_plan
from steadycone.procedures.rounds.drop import LineDrop, drops
from steadycone.procedures.rounds.fold import Folded, StopFirst, again_from, fold, fold_file, next_step, take, wait_since
from steadycone.procedures.rounds.happened import Happening, happened
from steadycone.procedures.rounds.judge import RoundFinding, judged, stops
from steadycone.procedures.rounds.plan import Look, Option, Plan, PlanStep
from steadycone.procedures.rounds.sign import Event, Holding, SignOff, sign_off, still_holds
from steadycone.procedures.rounds.state import Given, Round, begin, upcoming

__all__ = [
    "Answer",
    "AnswersFile",
    "Event",
    "Folded",
    "Given",
    "Happening",
    "Holding",
    "LineDrop",
    "Look",
    "Option",
    "Plan",
    "PlanStep",
    "Round",
    "RoundFinding",
    "SignOff",
    "StopFirst",
    "again_from",
    "begin",
    "drops",
    "fold",
    "fold_file",
    "happened",
    "judged",
    "make_plan",
    "next_step",
    "read_answers",
    "sign_off",
    "still_holds",
    "stops",
    "take",
    "upcoming",
    "wait_since",
]
