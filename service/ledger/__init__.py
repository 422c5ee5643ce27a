"""Double entry of everything bought: every half square tick is in one account."""
