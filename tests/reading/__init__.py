"""Reading what a clinic wrote: literate cases, grammars, places, and hostile input."""
