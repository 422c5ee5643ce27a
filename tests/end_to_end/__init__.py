"""The service as its users meet it: a process, a port, the commands of the README."""
