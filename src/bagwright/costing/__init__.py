"""What to buy, how long the work takes, what the bag costs and what price pays for it."""
