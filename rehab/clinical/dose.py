"""How much of an exercise: sets, repetitions or hold, load, tempo, rest, how often."""

from dataclasses import dataclass, fields

from clinic.wording import Sentence, say, short

from .loads import time_under_tension_s, volume_load_kg


@dataclass(frozen=True, kw_only=True)
class Dose:
    """One exercise's dose. Exactly one of `repetitions` and `hold_s`, or both (squeeze and hold).

    Seconds are whole; `load_kg` 0 means without a weight, None not decided or not a matter of
    weights. Raises ValueError for neither repetitions nor hold, a load below 0, another value of 0
    or less, or more than 7 days a week.
    """

    sets: int
    repetitions: int | None = None
    hold_s: int | None = None
    load_kg: float | None = None
    up_s: int | None = None
    down_s: int | None = None
    rest_s: int | None = None
    sessions_per_day: int = 1
    days_per_week: int = 7

    def __post_init__(self) -> None:
        if self.repetitions is None and self.hold_s is None:
            raise ValueError("a dose needs repetitions or a hold")
        for field in fields(self):
            value = getattr(self, field.name)
            if value is not None and value <= 0 and field.name != "load_kg":
                raise ValueError(f"{field.name} must be above 0")
        if self.load_kg is not None and self.load_kg < 0:
            raise ValueError("load_kg must not be below 0")
        if self.days_per_week > 7:
            raise ValueError("a week has 7 days")

    def headline(self) -> Sentence:
        """Return the short form, for example "3 × 15, 1.2 kg" or "5 × 45 s"."""
        text = {
            (True, True): say("%(sets)s × %(reps)s × %(hold)s s, %(kg)s kg", **self._values()),
            (True, False): say("%(sets)s × %(reps)s, %(kg)s kg", **self._values()),
            (False, True): say("%(sets)s × %(hold)s s, %(kg)s kg", **self._values()),
        }
        bare = {
            (True, True): say("%(sets)s × %(reps)s × %(hold)s s", **self._values()),
            (True, False): say("%(sets)s × %(reps)s", **self._values()),
            (False, True): say("%(sets)s × %(hold)s s", **self._values()),
        }
        return (text if self.load_kg else bare)[self._kind()]

    def in_words(self) -> Sentence:
        """Return the dose as one sentence for the patient; tempo and rest follow in `lines()`."""
        loaded = {
            (True, True): say(
                "Do %(sets)s sets of %(reps)s, hold each for %(hold)s seconds, with %(kg)s kg.",
                **self._values(),
            ),
            (True, False): say("Do %(sets)s sets of %(reps)s with %(kg)s kg.", **self._values()),
            (False, True): say(
                "Hold for %(hold)s seconds, %(sets)s times, with %(kg)s kg.", **self._values()
            ),
        }
        bare = {
            (True, True): say(
                "Do %(sets)s sets of %(reps)s and hold each for %(hold)s seconds.", **self._values()
            ),
            (True, False): say("Do %(sets)s sets of %(reps)s.", **self._values()),
            (False, True): say("Hold for %(hold)s seconds, %(sets)s times.", **self._values()),
        }
        return (loaded if self.load_kg else bare)[self._kind()]

    def lines(self) -> tuple[Sentence, ...]:
        """Return everything the dose says, one plain sentence each."""
        bare = (say("Use no weight."),) if self.load_kg == 0 else ()
        return (self.in_words(), *bare, *self._tempo(), *self._rest(), self.how_often())

    def how_often(self) -> Sentence:
        """Return how often in a day and in a week."""
        daily, many = self.days_per_week == 7, self.sessions_per_day > 1
        if daily and many:
            return say("Do this %(times)s times a day, every day.", times=self.sessions_per_day)
        if daily:
            return say("Do this once a day, every day.")
        if many:
            return say(
                "Do this %(times)s times a day, %(days)s days a week.",
                times=self.sessions_per_day,
                days=self.days_per_week,
            )
        return say("Do this on %(days)s days a week.", days=self.days_per_week)

    def time_under_tension_s(self) -> float:
        """Return the seconds the muscle works in one session; unknown tempo counts as 0."""
        return time_under_tension_s(
            self.sets,
            self.repetitions or 1,
            up_s=self.up_s or 0,
            hold_s=self.hold_s or 0,
            down_s=self.down_s or 0,
        )

    def volume_load_kg(self) -> float | None:
        """Return sets × repetitions × kg of one session, or None without repetitions or load."""
        if self.repetitions is None or self.load_kg is None:
            return None
        return volume_load_kg(self.sets, self.repetitions, self.load_kg)

    def _kind(self) -> tuple[bool, bool]:
        return self.repetitions is not None, self.hold_s is not None

    def _values(self) -> dict[str, object]:
        kg = None if self.load_kg is None else short(float(f"{self.load_kg:g}"))
        known = {"sets": self.sets, "reps": self.repetitions, "hold": self.hold_s, "kg": kg}
        return {name: value for name, value in known.items() if value is not None}

    def _tempo(self) -> tuple[Sentence, ...]:
        if self.up_s and self.down_s:
            return (
                say(
                    "Take %(up)s seconds to move and %(down)s seconds to come back.",
                    up=self.up_s,
                    down=self.down_s,
                ),
            )
        if self.down_s:
            return (say("Take %(down)s seconds for the slow part.", down=self.down_s),)
        return ()

    def _rest(self) -> tuple[Sentence, ...]:
        if self.rest_s is None:
            return ()
        if self._kind() == (False, True):
            return (say("Rest %(rest)s seconds between holds.", rest=self.rest_s),)
        return (say("Rest %(rest)s seconds between sets.", rest=self.rest_s),)
