"""All tests, and the tools that run them."""
