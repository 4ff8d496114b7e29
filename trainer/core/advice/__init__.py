"""What may be done for this client: verdict, dates, plan, load, growth and shedding."""
