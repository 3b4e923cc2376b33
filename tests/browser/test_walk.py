"""The whole job once, as three people do it: from the front door to the second program on paper."""

import datetime
import io
import re

import pytest
from django.utils import timezone
from pypdf import PdfReader

from cases.models import Case, Visit

pytestmark = pytest.mark.django_db(transaction=True)


def pdf_text(someone, label: str) -> str:
    """Follow the link to a PDF and read its text back."""
    link = someone.page.locator("main").get_by_role("link", name=re.compile(label)).first
    answer = someone.page.request.get(link.get_attribute("href"))
    assert answer.headers["content-type"] == "application/pdf"
    return " ".join(
        " ".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.body())).pages).split()
    )


def register(desk) -> None:
    desk.open("/patients/new/")
    desk.type("given_name", "Marit")
    desk.type("family_name", "Oyelaran")
    desk.type("born", "1981-05-04")
    desk.choose("sex", "female")
    desk.choose("handedness", "right")
    desk.type("phone", "+44 1632 960123")
    desk.press("Register", to=r"/patients/\d+/")


def open_case(physio) -> None:
    physio.open("/patients/")
    physio.press("Oyelaran, Marit", to=r"/patients/\d+/")
    physio.press("Open a case", to="/cases/new/")
    physio.choose("side", "right")
    physio.type("onset", "2026-01-10")
    physio.press("Open the case", to=r"/cases/\d+/")


def take_intake(physio) -> None:
    physio.press("Intake", to="/intake/")
    physio.choose("manner", "gradual")
    physio.type("occupation", "boat builder")
    physio.choose("rest_pain", 1)
    physio.choose("worst_pain", 3)
    physio.choose("nights_woken", 0)
    physio.choose("lasts_over_24_h", "false")
    physio.choose("fluoroquinolone", "no")
    physio.press("Save and go on to the screening", to="/screening/")


def screen(physio) -> None:
    physio.press("No to the rest")
    physio.press("Save the screening", to=r"/cases/\d+/")


def begin_visit(physio) -> None:
    physio.open(f"/cases/{Case.objects.get().pk}/")
    physio.press("Begin today's visit", to=r"/visits/\d+/")


def do_battery(physio) -> None:
    physio.open(f"/visits/{Visit.objects.drafts().get().pk}/battery/")
    physio.choose("battery-resting_pain", 0)
    physio.choose("battery-wrist-extension-right", "familiar")
    physio.type("battery-wrist-extension-right-pain", 6)
    physio.press("No pain for the rest")
    physio.wait_until_saved("battery")
    physio.press("Save the battery", to=r"/cases/\d+/")


def measure(physio, *, pains: dict, affected: str, other: str, items: int | None) -> None:
    """Type the measures of the draft visit; grip in kg, three trials a side."""
    physio.open(f"/visits/{Visit.objects.drafts().get().pk}/measures/")
    for context, pain in pains.items():
        physio.choose(f"measures-pain_{context}", pain)
    for side, typed in (("left", other), ("right", affected)):
        for number, kg in enumerate(typed.split(), start=1):
            physio.type(f"measures-pain_free_{side}_{number}", kg)
    for number in range(1, 16) if items is not None else ():
        physio.type(f"measures-item_{number}", items)
    physio.press("Save the measures", to=r"/cases/\d+/")


def build_program(physio) -> None:
    physio.press("Program", to="/program/")
    assert "low irritability: start at stage 2, light isotonic" in physio.reads()
    physio.press("Build the program", to="/program/")
    physio.press("Read it once more and issue", to="/issue/")
    physio.press("Issue program 1", to=r"/cases/\d+/")


def write_notes_and_sign(physio, *, due: datetime.date) -> None:
    physio.open(f"/visits/{Visit.objects.drafts().get().pk}/")
    physio.type("notes-subjective", "Hurts when planing boards.")
    physio.type("notes-due_on", due.isoformat())
    physio.wait_until_saved("notes")
    physio.press("Look once more and sign", to="/sign/")
    physio.press("Sign the visit", to=r"/cases/\d+/")


def book_follow_up(desk) -> None:
    desk.open("/due/")
    desk.press("Book", to="/book/new/")
    desk.press("Book", to="/due/")
    assert desk.reads().startswith("Booked: Marit Oyelaran")


def type_diary(physio, *, days: int) -> None:
    """Settled days up to yesterday; 17 repetitions in the last set, two over the 15 asked."""
    physio.open(f"/cases/{Case.objects.get().pk}/diary/")
    for number in range(days, 0, -1):
        on = timezone.localdate() - datetime.timedelta(days=number)
        if number < days and (days - number) % 7 == 0:
            physio.page.keyboard.press("PageDown")
        physio.type(f"diary-{on}_sets_done", 3)
        physio.type(f"diary-{on}_last_set_repetitions", 17)
        for column, value in (("worst_pain", 2), ("next_morning_pain", 1), ("night_wakings", 0)):
            physio.type(f"diary-{on}_{column}", value)
    physio.press("Save the diary", to=r"/cases/\d+/")


def decide(physio) -> None:
    physio.open(f"/visits/{Visit.objects.drafts().get().pk}/")
    said = physio.page.locator("#proposal").inner_text()
    assert "Stay · stage 2, light isotonic · add load, 1 → 1.1 kg" in said
    physio.press("Decide, and build program 2", to="/program/")
    assert physio.field("dose-0-load_kg").input_value() == "1.1"
    physio.press("Read it once more and issue", to="/issue/")
    physio.press("Issue program 2", to=r"/cases/\d+/")


def read_trail(manager) -> str:
    manager.open("/audit/")
    return manager.reads()


def test_from_the_front_door_to_the_second_program(
    person, physiotherapist, front_desk, manager, clock
):
    desk, physio = person(front_desk), person(physiotherapist)
    register(desk)
    open_case(physio)
    take_intake(physio)
    screen(physio)
    begin_visit(physio)
    do_battery(physio)
    pains = {"at_rest": 1, "worst_24h": 3, "on_gripping": 4}
    measure(physio, pains=pains, affected="12 12.5 12.2", other="30 31 30.5", items=1)
    build_program(physio)
    write_notes_and_sign(physio, due=clock.today() + datetime.timedelta(days=14))
    book_follow_up(desk)
    first_paper = home_program(desk)

    clock.pass_days(14)
    for someone in (physio, desk):
        someone.sign_in()
    begin_visit(physio)
    type_diary(physio, days=14)
    later = pains | {"on_gripping": 2}
    measure(physio, pains=later, affected="23 24 23.5", other="30 31 30.5", items=1)
    decide(physio)
    write_notes_and_sign(physio, due=clock.today() + datetime.timedelta(days=14))
    second_paper = home_program(desk)
    diary_paper = pdf_text(desk, "Diary page")
    trail = read_trail(person(manager))

    assert "Program 1 · page 1" in first_paper
    assert "3 × 15, 1 kg" in first_paper
    assert "Program 2 · page 1" in second_paper
    assert "3 × 15, 1.1 kg" in second_paper
    assert "record 0001" in diary_paper
    assert "signed" in trail
    assert physio.complaints == desk.complaints == []


def home_program(desk) -> str:
    """The front desk prints what the physiotherapist has issued, and sees no more of the case."""
    desk.open(f"/patients/{Case.objects.get().patient_id}/")
    desk.press("Print", to="/papers/")
    assert "light isotonic" not in desk.reads()
    return pdf_text(desk, "Home program")
