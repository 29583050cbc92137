from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("training", "0002_constraints")]

    operations = [
        migrations.RemoveConstraint(model_name="signoff", name="sign_off_state"),
        migrations.AddConstraint(
            model_name="signoff",
            constraint=models.CheckConstraint(
                condition=models.Q(("state__in", ["valid", "suspended", "replaced", "ended"])), name="sign_off_state"
            ),
        ),
    ]
