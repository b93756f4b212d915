"""What all tests share: how examples are drawn.

The same examples every time, so that a change is judged by what it changes; and no deadline, since a busy machine is no fault of the code.
``pytest --hypothesis-profile explore`` draws new ones.
"""

from hypothesis import HealthCheck, settings

settings.register_profile("steady", deadline=None, derandomize=True, database=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("explore", settings.get_profile("steady"), derandomize=False, print_blob=True)
settings.load_profile("steady")
