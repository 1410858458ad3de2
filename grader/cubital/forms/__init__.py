"""Forms of a page that are drawn from plain blocks: words, choices, buttons, lists, files that are
taken in or given out."""
