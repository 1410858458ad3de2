"""What every item is written with: values drawn for a learner, the options offered, words for
gauges and shares."""
