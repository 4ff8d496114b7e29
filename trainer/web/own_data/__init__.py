"""Everything kept about whoever is signed in."""
