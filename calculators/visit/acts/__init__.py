"""What a person does on a screen, one file an idea: new events, or what is wrong with the act."""
