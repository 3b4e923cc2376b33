"""Rounds of the battery as the rules take them, for tests; the sore side is the right one."""

from cases.clinical.battery import Reading, read_battery
from cases.clinical.findings import FindingAnswer, GivenFinding, expected_findings
from cases.clinical.palpation import Pressed
from cases.clinical.sides import Side


def familiar(test="wrist-extension", pain=6, side=Side.RIGHT, **more) -> GivenFinding:
    return GivenFinding(test=test, side=side, answer=FindingAnswer.FAMILIAR, pain=pain, **more)


def other(where, test="wrist-extension", side=Side.RIGHT, **more) -> GivenFinding:
    return GivenFinding(test=test, side=side, answer=FindingAnswer.OTHER, where=where, **more)


def no_pain(test="wrist-extension", side=Side.RIGHT, **more) -> GivenFinding:
    return GivenFinding(test=test, side=side, answer=FindingAnswer.NONE, **more)


def not_done(test="wrist-extension", **more) -> GivenFinding:
    return GivenFinding(
        test=test, side=Side.RIGHT, answer=FindingAnswer.NOT_DONE, why_not_done="plaster", **more
    )


def pressed(side=Side.RIGHT, **pains) -> tuple[Pressed, ...]:
    """Points of one side by their code, with _ for -."""
    return tuple(
        Pressed(point=point.replace("_", "-"), side=side, pain=pain)
        for point, pain in pains.items()
    )


def full_round(*instead) -> tuple[GivenFinding, ...]:
    """A full round without pain, but for the findings in `instead`."""
    by_spot = {finding.spot: finding for finding in instead}
    usual = {
        e.spot: no_pain(e.test.code, e.side, finger=e.finger) for e in expected_findings(Side.RIGHT)
    }
    return tuple((usual | by_spot).values())


def read(*instead, resting_pain=0, **more) -> Reading:
    return read_battery(
        full_round(*instead), affected=Side.RIGHT, resting_pain=resting_pain, **more
    )


def words(sentences) -> list[str]:
    return [str(sentence) for sentence in sentences]
