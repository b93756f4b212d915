"""Venue files: what a good one gives, and the sentence that each bad one gets."""

from pathlib import Path

import pytest
from small_packs import catalogue as small_catalogue  # noqa: F401 - replaced below when absent
