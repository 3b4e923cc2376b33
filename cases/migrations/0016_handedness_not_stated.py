from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('cases', '0015_patient_suits'),
    ]

    operations = [
        migrations.AlterField(
            model_name='patient',
            name='handedness',
            field=models.CharField(choices=[('right', 'right-handed'), ('left', 'left-handed'), ('both', 'uses both hands alike'), ('unset', 'handedness not stated')], max_length=5, verbose_name='handedness'),
        ),
    ]
