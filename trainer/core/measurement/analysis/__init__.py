"""What responses say about items: difficulty, reliability, options, differences, exposure."""
