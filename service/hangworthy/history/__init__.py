"""What is kept: evaluations, venues and keys. The service knows the port; the composition root chooses the store."""
