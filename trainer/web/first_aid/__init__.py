"""First aid, for anybody at any time."""
