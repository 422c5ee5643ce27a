"""Sticks: boards, rips and mitred parts cut from stock lengths."""
