"""What all tests share: laws are tried on the same examples in every run, however slow it is."""

from hypothesis import HealthCheck, Phase, settings

settings.register_profile(
    "repeatable",
    derandomize=True,
    deadline=None,
    database=None,
    print_blob=True,
    # Building a surface with openings takes long on a busy machine; that is not the law's fault.
    suppress_health_check=[HealthCheck.too_slow],
)
# For `make mutants`: that a law fails is enough there, its least counterexample is not looked for.
settings.register_profile(
    "unshrunk", settings.get_profile("repeatable"), phases=[Phase.explicit, Phase.generate]
)
settings.load_profile("repeatable")
