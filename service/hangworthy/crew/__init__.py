"""The crew: processes beside the service, one for each processor, that evaluate the lines of batches.

Python runs the rules of one process on one processor at a time. What a line is answered does not depend on who evaluates it: a process of
the crew loads the same packs, is told of the venues in force, and gives back what it could not answer, for the service to answer itself.
"""

from hangworthy.crew.crew import Crew
from hangworthy.crew.messages import Setup, setup_of

__all__ = ["Crew", "Setup", "setup_of"]
