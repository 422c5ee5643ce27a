"""From a job to its takeoff: one pure function, and the laws that every answer must keep."""
