"""Two versions of a set: found as folders, files, editions or git revisions; read; compared."""
