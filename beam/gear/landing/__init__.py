"""Choice of the shock, and the drop test: plan, record and comparison."""
