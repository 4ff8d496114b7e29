"""The salon's desk: the team, and may this person do this today?"""
