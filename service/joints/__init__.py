"""Runs, allowed stations and stock to pieces: joints and cutting solved together."""
