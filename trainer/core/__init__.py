"""The pure core: values in, values out. No Flask, no database, no clock, no global chance."""
