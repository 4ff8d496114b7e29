"""What is attested: signed completion records, their proofs, standing and clearance."""
