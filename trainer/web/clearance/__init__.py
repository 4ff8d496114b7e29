"""The salon's desk: may this person do this today?"""
