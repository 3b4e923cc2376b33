from django.db import migrations

from clinic.journal import Journaled
from clinic.sealing import AddTriggers

JOURNALED = {
    "owncard": Journaled(name="own_card_journaled", without=()),
    "hiddencard": Journaled(name="hidden_card_journaled", without=()),
    "equipment": Journaled(name="equipment_journaled", without=()),
    "programexercise": Journaled(name="program_exercise_journaled", without=()),
    "program": Journaled(name="program_journaled", without=()),
    "decision": Journaled(name="decision_journaled", without=()),
    "diaryday": Journaled(name="diary_day_journaled", without=()),
    "handout": Journaled(name="handout_journaled", without=()),
    "stagecheck": Journaled(name="stage_check_journaled", without=()),
    "thresholdchange": Journaled(name="threshold_change_journaled", without=()),
}


class Migration(migrations.Migration):
    dependencies = [
        ("rehab", "0011_erasable"),
        ("clinic", "0019_journaled"),
    ]
    operations = [AddTriggers(model_name=name, constraint=rule) for name, rule in JOURNALED.items()]
