"""What physiotherapists write in the demo, by how the diary went."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Said:
    """The free text of one contact."""

    told: str
    meaning: str
    next_step: str
    treatment: str = "Went through each exercise once; tempo and wrist position corrected."


# What stands under "waits" is of a first visit after which no program may be issued yet.
NOTES = {
    "": Said(
        told="Pain on the outside of the elbow with gripping and lifting.",
        meaning="Familiar pain with resisted wrist extension. Easily upset by work at the moment.",
        next_step="Begin the program below the pain limit; explained the diary and when to call.",
        treatment="Explained load and tendon; tried each exercise once.",
    ),
    "waits": Said(
        told="Pain on the outside of the elbow with gripping and lifting.",
        meaning="Familiar pain with resisted wrist extension. No program for now.",
        next_step="See the family doctor first; until then do less of what hurts, and call if it gets worse.",
        treatment="Talked about which tasks to change for now; no exercise yet.",
    ),
    "settled": Said(
        told="Exercises done as asked. A little sore during, nothing left the next morning.",
        meaning="The arm takes this load well.",
        next_step="Go on as decided; keep the diary.",
    ),
    "spare": Said(
        told="The last set has become easy; could do more.",
        meaning="Repetitions to spare and quiet mornings.",
        next_step="A little more load, the same number of days.",
    ),
    "watch": Said(
        told="The last session hurt more than usual, after a long day at work.",
        meaning="One session to watch; the morning after was not clearly worse.",
        next_step="Repeat the same load. Spread the heavy work over the day.",
    ),
    "often watch": Said(
        told="Several sessions sore this week; the work was heavy too.",
        meaning="Work and exercise together are a little too much.",
        next_step="One step less, and no extra practice at home.",
    ),
    "too much": Said(
        told="One session hurt a lot, and the next morning the elbow was stiff.",
        meaning="Too much on one day; settled again since.",
        next_step="Less load, then build up again. A flare is not damage.",
    ),
    "setback": Said(
        told="Two bad sessions in a row and woken at night, after carrying sacks.",
        meaning="The elbow is upset; this stage is too much for now.",
        next_step="One stage back for some days; call if the nights stay bad.",
    ),
    "few": Said(
        told="Hardly found the time for the exercises in the last two weeks.",
        meaning="Too little done to judge the program.",
        next_step="Two exercises instead of three, in the lunch break.",
    ),
}
