"""The house itself: who may see whom, what each room must have, what a kind must bring."""
