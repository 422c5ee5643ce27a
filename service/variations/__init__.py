"""A job varied and solved again: what is asked for, and what the answer to a question takes."""
