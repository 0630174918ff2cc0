"""Signing, publishing and tracing, against sha256sum, zipfile, ssh-keygen, gpg and the kernel."""
