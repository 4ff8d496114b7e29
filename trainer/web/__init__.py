"""Screens: one room a journey, server-rendered, phone first."""
