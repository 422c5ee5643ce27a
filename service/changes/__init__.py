"""From what a job was to what it is to be: which pieces stay, what comes down, what is to buy."""
