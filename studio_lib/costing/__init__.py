"""Operations counted from the model, hours as a range, and a price that adds up."""
