"""Parts of the main gear: link, springs, damper, shock and tire."""
