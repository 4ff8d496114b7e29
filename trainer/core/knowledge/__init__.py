"""What is known, and from where: facts, rules, procedures, misconceptions, sources."""
