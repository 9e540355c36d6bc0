"""An independent plain-Python reading of the rules of work, and small farms to try it on."""
