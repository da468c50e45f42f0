"""Tables and texts that a designer hands on."""
