"""From the bytes of a request to a job: strict reading, all faults at once."""
