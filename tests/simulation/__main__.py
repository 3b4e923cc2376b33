"""`python -m tests.simulation 2000`: how invented arms end, how long they take, how often they flare."""

import sys
import time
from collections import Counter
from statistics import median

from rehab.clinical.reviewing import MessageKind
from rehab.clinical.stages import Policy
from tests.simulation.walk import Year, live


def flared(year: Year) -> int:
    """Visits at which a flare was named."""
    return sum(
        any(message.kind is MessageKind.FLARE for message in seen.proposal.messages)
        for seen in year.seen
    )


def decisions_a_second(count: int) -> float:
    began = time.perf_counter()
    visits = sum(live(seed).weeks for seed in range(count))
    return visits / (time.perf_counter() - began)


def report(count: int, policy: Policy | None) -> str:
    began = time.perf_counter()
    years = [live(seed, policy=policy) for seed in range(count)]
    seconds, visits = time.perf_counter() - began, sum(year.weeks for year in years)
    ends = Counter(year.ended for year in years)
    done = [year.weeks for year in years if year.ended == "discharge"]
    return "\n".join(
        (
            f"{policy or 'as chosen'}: {count} arms, {visits} decisions, {visits / seconds:.0f} a second",
            "  ended in " + ", ".join(f"{word} {number}" for word, number in ends.most_common()),
            f"  weeks to discharge, median: {median(done) if done else '–'}",
            f"  visits with a flare: {100 * sum(map(flared, years)) / visits:.1f} %",
        )
    )


if __name__ == "__main__":
    arms = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    for chosen in (None, Policy.STRICT, Policy.STANDARD):
        print(report(arms, chosen))
