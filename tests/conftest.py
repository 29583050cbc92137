"""What holds for every test: none is timed, since a busy machine would fail it for nothing."""

from hypothesis import HealthCheck, settings

settings.register_profile("untimed", deadline=None, suppress_health_check=[HealthCheck.too_slow])
if settings.get_current_profile_name() == "default":  # where CI is set, its own profile is untimed too, and repeatable
    settings.load_profile("untimed")
