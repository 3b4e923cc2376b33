from django.db import migrations

from clinic.constraints import Sealed
from clinic.journal import OnlyEmptied
from clinic.sealing import AddTriggers, Seal, Unseal


class Migration(migrations.Migration):
    dependencies = [("clinic", "0019_journaled")]
    operations = [
        Unseal(model_name="change", name="change_stays"),
        Seal(
            model_name="change",
            constraint=Sealed(by="", may_change=("before", "after"), name="change_stays"),
        ),
        AddTriggers(
            model_name="change",
            constraint=OnlyEmptied(columns=("before", "after"), name="change_only_emptied"),
        ),
    ]
