"""Work that a bulk run's processes can be given in the place of takeoffs: quick, and mortal."""

from __future__ import annotations

import os
import signal

from service.bulk.lines import Answered, Bounds, Chunk
from service.bulk.tally import Tally


def echoed(chunk: Chunk, bounds: Bounds) -> Answered:
    """Each line with its number; a line `die` ends the process."""
    if b"die" in chunk.lines:
        os.kill(os.getpid(), signal.SIGKILL)
    bodies = [b"%d %s" % (chunk.first + k, line) for k, line in enumerate(chunk.lines)]
    return Answered(tuple(bodies), Tally(answered=len(bodies), seconds=0.01 * len(bodies)))
