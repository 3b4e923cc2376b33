"""Rounds of the battery, for tests."""

from cases.clinical.battery import expected_findings
from cases.models import Battery, Finding, Visit
from tests.factories.cases import create_visit


def create_battery(*, visit: Visit | None = None, resting_pain: int = 0, **fields) -> Battery:
    """A round without a finding."""
    visit = visit or create_visit()
    return Battery.objects.create(
        visit=visit, performed_on=visit.on, resting_pain=resting_pain, **fields
    )


def create_finding(*, battery: Battery, **fields) -> Finding:
    """Familiar pain of 6 on resisted wrist extension of the right side, unless told otherwise."""
    familiar = {"test": "wrist-extension", "side": "right", "answer": "familiar", "pain": 6}
    return Finding.objects.create(battery=battery, **(familiar | fields))


def create_quiet_battery(*, visit: Visit) -> Battery:
    """A full round in which nothing hurt."""
    battery = create_battery(visit=visit)
    for spot in expected_findings(visit.case.affected):
        create_finding(
            battery=battery,
            test=spot.test.code,
            side=spot.side.value,
            finger=spot.finger,
            answer="none",
            pain=None,
        )
    return battery
