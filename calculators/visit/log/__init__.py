"""What a visit is made from: the plan, the events of the log, and the state that they fold into."""
