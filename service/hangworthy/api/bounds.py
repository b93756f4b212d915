"""Bounds of what a request may say, which the document states and the controllers hold to."""

LONGEST_KEY = 255
LONGEST_BATCH_KEY = 240  # a colon and the number of the line follow it
LONGEST_REF = 80
LONGEST_TEXT = 200
LONGEST_VENUE_NAME = 80
MOST_ITEMS, USUAL_ITEMS = 200, 50
VENUE_VERSIONS = ["current", "stored"]
MOST_SHEETS = 10  # works in one printed document


def key_pattern(longest: int) -> str:
    """Return what an Idempotency-Key looks like: printable ASCII without quotation marks and backslashes.

    The IETF draft writes it in quotation marks, and then it may hold spaces; most clients write it without.
    """
    return rf'^("[ !#-\[\]-~]{{1,{longest}}}"|[!#-\[\]-~]{{1,{longest}}})$'
