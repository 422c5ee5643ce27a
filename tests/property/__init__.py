"""The laws every answer keeps, one file for each."""
