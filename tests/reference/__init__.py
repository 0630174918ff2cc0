"""A second checker, written from `compiler/README.md` alone, and the comparison with the product."""
