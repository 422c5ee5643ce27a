"""A sheet of rooms, a row a room: as CSV, as jobs, and what is answered of each."""
