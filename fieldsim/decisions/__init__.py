"""What the outcomes say about which option to choose."""
