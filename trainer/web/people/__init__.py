"""People of an organisation: invite, roles, groups, links."""
