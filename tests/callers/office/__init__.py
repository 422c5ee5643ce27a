"""LibreOffice as those have it who keep their rooms and orders in a sheet."""
