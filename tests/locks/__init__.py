"""Whether each lock under `docker/` names all that its packages ask for, and nothing else."""
