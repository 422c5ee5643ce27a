"""What forms of stock share that is sawn from sticks: saw, cut plan with joints, and accounts."""
