"""What judges share with each other, and with nothing else."""
