"""The content of the platform: facts, rules, procedures, misconceptions and words."""
