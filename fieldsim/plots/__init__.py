"""Pictures of outcomes: outcomes in, Axes out."""
