"""Workbooks opened in an office program (LibreOffice Calc), which need not be there."""
