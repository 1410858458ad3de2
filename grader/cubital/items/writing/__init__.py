"""What items are written with: draws, offered options, words for gauges and shares."""
