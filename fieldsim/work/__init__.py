"""The work of a season: `plan` turns a farm into arrays, `kernel` runs them."""
