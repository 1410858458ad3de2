"""What every item is written with: values drawn for a learner, options of which all are offered
the same, words for gauges and shares."""
