"""Sign, publish, trace: reviewed text becomes an edition, and a sheet leads back to it."""
