"""The answer as a workbook: a sheet for each table, made of the rows of the JSON answer."""
