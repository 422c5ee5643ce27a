"""What can be asked of the service: each operation, from what was asked to what is answered."""
