"""From a share of the sticks to the rows of the answer."""
