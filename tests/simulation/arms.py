"""One invented arm and its owner."""

import random
from dataclasses import dataclass, field
from datetime import date, timedelta

from rehab.clinical.proposal import Proposal
from rehab.clinical.sessions import DiaryDay
from rehab.clinical.stages import Stage

# How much harder a set to its repetition maximum feels than one of 15.
BAND_FACTOR = {15: 1.0, 12: 1.05, 10: 1.1, 8: 1.15, 6: 1.2}
HEALTHY_KG = 6.0


@dataclass(kw_only=True)
class Asked:
    """What the program asks on a day."""

    stage: Stage
    sessions_a_week: int
    sets: int
    repetitions: int | None = None
    hold_s: int | None = None
    load_kg: float | None = None
    return_step: int = 0


@dataclass(kw_only=True)
class Arm:
    """Capacity in kg, irritation 0–10; the other values say how both answer, and how the diary is kept."""

    seed: int
    dice: random.Random = field(init=False)
    capacity_kg: float = field(init=False)
    irritation: float = field(init=False)

    def __post_init__(self) -> None:
        self.dice = dice = random.Random(self.seed)
        self.capacity_kg = dice.uniform(1.2, 4)
        self.irritation = dice.uniform(0.5, 5)
        self.gain = dice.choice([0.0, 0.01, 0.02, 0.03])
        self.sensitivity = dice.uniform(1, 5)
        self.calms = dice.uniform(0.7, 0.94)
        self.noise = dice.choice([0.0, 0.2, 0.5])
        self.adherence = dice.choice([1.0, 1.0, 0.98, 0.9, 0.7])
        self.forgets = dice.choice([0.0, 0.0, 0.0, 0.01, 0.3])
        self.measured = dice.choice([1.0, 1.0, 1.0, 0.7, 0.0])
        self.other_side_sore = dice.random() < 0.15
        self.smallest_step_kg = dice.choice([0.1, 0.25, 0.5, 1.0])
        self.careless = dice.choice([0.0, 0.01, 0.04])
        self.handy = dice.random() < 0.8
        self.alarm_on_day = dice.randrange(1, 364) if dice.random() < 0.05 else None

    def day(self, on: date, asked: Asked) -> DiaryDay | None:
        """Live one day under a program; None when nothing was written down."""
        sets = asked.sets if self._trains(on, asked) else 0
        overload = self._demand_kg(asked) / self.capacity_kg - 1 if sets else 0.0
        pain = self._rating(self.irritation + self.sensitivity * max(0.0, overload + 0.1))
        if sets:
            self._adapt(overload)
        if self.dice.random() < self.careless:  # a weekend in the garden
            self.irritation = min(10.0, self.irritation + self.dice.uniform(1, 6))
        self.irritation *= self.calms
        woken = int(self.irritation > 5 and self.dice.random() < 0.5)
        day = DiaryDay(
            on=on,
            sets_done=sets,
            last_set_repetitions=self._repetitions(asked, overload) if sets else None,
            worst_pain=self._kept(pain) if sets else None,
            next_morning_pain=self._kept(self._rating(0.7 * self.irritation)),
            night_wakings=self._kept(woken),
        )
        return None if self.dice.random() < self.forgets / 2 else day

    def grip_ratio(self) -> float | None:
        """Affected ÷ other side; None on a day on which it was not measured."""
        healthy = 0.45 + 0.6 * min(1.0, self.capacity_kg / HEALTHY_KG)
        return self._measured(round(min(1.05, healthy - 0.02 * self.irritation), 3))

    def prtee(self) -> float | None:
        """0–100, better when stronger and calmer."""
        weak = 1 - min(1.0, self.capacity_kg / HEALTHY_KG)
        return self._measured(round(min(100.0, 35 * weak + 6 * self.irritation), 1))

    def rest_pain(self) -> int | None:
        return self._measured(self._rating(0.5 * self.irritation))

    def worst_pain(self) -> int | None:
        return self._measured(self._rating(1.2 * self.irritation))

    def hear(self, proposal: Proposal) -> None:
        """Some owners get finer weights when the rules say that theirs are too coarse."""
        if any("too big a step" in str(words) for words in proposal.reasons) and self.handy:
            self.smallest_step_kg = 0.1

    def _trains(self, on: date, asked: Asked) -> bool:
        due = asked.sessions_a_week >= 7 or on.weekday() % 2 == 0
        return due and self.dice.random() < self.adherence

    def _demand_kg(self, asked: Asked) -> float:
        if asked.hold_s is not None:
            return 0.6 * asked.hold_s / 45
        if asked.load_kg is not None:
            return asked.load_kg * BAND_FACTOR.get(asked.repetitions or 15, 1.0)
        return 2.5 + 0.15 * asked.return_step

    def _adapt(self, overload: float) -> None:
        if overload <= 0.15:
            self.capacity_kg *= 1 + self.gain * min(1.0, 1 + overload)
        else:
            self.irritation = min(10.0, self.irritation + self.sensitivity * overload)

    def _repetitions(self, asked: Asked, overload: float) -> int | None:
        if asked.repetitions is None:
            return None
        spare = 2 if overload < -0.1 else 1 if overload < 0.02 else 0 if overload < 0.15 else -2
        return self._kept(max(0, asked.repetitions + spare))

    def _rating(self, value: float) -> int:
        return round(min(10.0, max(0.0, value + self.dice.gauss(0, self.noise))))

    def _kept(self, value: int) -> int | None:
        return None if self.dice.random() < self.forgets else value

    def _measured(self, value):
        return value if self.dice.random() < self.measured else None


def days(first: date, count: int):
    return (first + timedelta(days=number) for number in range(count))
