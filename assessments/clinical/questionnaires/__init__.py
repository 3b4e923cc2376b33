"""The questionnaires that can be scored, by key. Items are numbers: the wording is not ours."""

from assessments.clinical.questionnaires import tennis_elbow
from assessments.clinical.questionnaires.instrument import Answers as Answers
from assessments.clinical.questionnaires.instrument import Instrument as Instrument
from assessments.clinical.questionnaires.instrument import Item as Item
from assessments.clinical.questionnaires.instrument import NotScorable as NotScorable

INSTRUMENTS = {instrument.key: instrument for instrument in (tennis_elbow.INSTRUMENT,)}
