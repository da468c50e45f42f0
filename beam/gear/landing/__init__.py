"""The choice of the shock, and the drop test: its plan, its record, and both compared."""
