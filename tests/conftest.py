"""What all tests share: laws are tried on the same examples in every run, however slow it is."""

from hypothesis import HealthCheck, settings

settings.register_profile(
    "repeatable",
    derandomize=True,
    deadline=None,
    database=None,
    print_blob=True,
    # Building a surface with openings takes long on a busy machine; that is not the law's fault.
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("repeatable")
