"""Words in many languages: catalogues, fixed words of the sheets, numbers and dates."""
