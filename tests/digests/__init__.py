"""Digests of the answers to some sixty jobs, the same on every Python that the service runs on.

`make digests` writes `digests.txt` anew, where answers were meant to change; `make versions` checks
it on each Python that is found. Nothing but the service is needed for either.
"""
