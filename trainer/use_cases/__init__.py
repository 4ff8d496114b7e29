"""What people do, one file each: read, ask the core, keep."""
