"""Motion of one main gear unit on the ground: equations, integration, drop and taxi bump."""
