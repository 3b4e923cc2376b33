"""What the rules propose, and how it is kept as it stood."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from clinic.wording import Sentence, gettext_noop

from .criterion import Criterion
from .reviewing import Message
from .stages import Stage


class Decision(StrEnum):
    """What to do about the stage; proposed by the rules, made by the physiotherapist."""

    MOVE_UP = gettext_noop("move up")
    STAY = gettext_noop("stay")
    STEP_BACK = gettext_noop("step back")
    STOP_AND_REVIEW = gettext_noop("stop and review")


class LoadStep(StrEnum):
    """What to do about the load within a stage."""

    ADD = gettext_noop("add")
    KEEP = gettext_noop("keep")
    REDUCE = gettext_noop("reduce")


@dataclass(frozen=True, kw_only=True)
class Proposal:
    """The decision with its reasons, criteria, messages and the thresholds in force (code, value).

    `next_stage` is None when the program is to stop. The other `next_…` values say what the load
    step comes to, None where it does not apply; `next_repetitions` only where they change.
    """

    decision: Decision
    load_step: LoadStep
    next_stage: Stage | None
    next_load_kg: float | None = None
    next_hold_s: int | None = None
    next_sets: int | None = None
    next_repetitions: int | None = None
    next_rm_band: int | None = None
    next_return_step: int | None = None
    reasons: tuple[Sentence, ...] = ()
    criteria: tuple[Criterion, ...] = ()
    messages: tuple[Message, ...] = ()
    thresholds: tuple[tuple[str, float], ...] = ()

    @property
    def unknown(self) -> tuple[Criterion, ...]:
        """Return the criteria that could not be judged for want of a value."""
        return tuple(row for row in self.criteria if row.held is None)

    def as_json(self) -> dict[str, Any]:
        """Return plain values for storage; `from_json` reads them back unchanged."""
        plain = {name: getattr(self, name) for name in PLAIN}
        return plain | {
            "decision": str(self.decision),
            "load_step": str(self.load_step),
            "next_stage": None if self.next_stage is None else int(self.next_stage),
            "reasons": [words.as_json() for words in self.reasons],
            "criteria": [row.as_json() for row in self.criteria],
            "messages": [row.as_json() for row in self.messages],
            "thresholds": dict(self.thresholds),
        }

    @classmethod
    def from_json(cls, stored: dict[str, Any]) -> "Proposal":
        """Rebuild a stored proposal as it stood. Raises ValueError on an unknown word in it."""
        stage = stored["next_stage"]
        return cls(
            # A proposal of an earlier edition doesn't know every one of them.
            **{name: stored.get(name) for name in PLAIN},
            decision=Decision(stored["decision"]),
            load_step=LoadStep(stored["load_step"]),
            next_stage=None if stage is None else Stage(stage),
            reasons=tuple(Sentence.from_json(words) for words in stored["reasons"]),
            criteria=tuple(Criterion.from_json(row) for row in stored["criteria"]),
            messages=tuple(Message.from_json(row) for row in stored["messages"]),
            thresholds=tuple(sorted(stored["thresholds"].items())),
        )


PLAIN = (
    "next_load_kg", "next_hold_s", "next_sets", "next_repetitions", "next_rm_band",
    "next_return_step",
)  # fmt: skip
