"""What the trade computes, from a client's brief to a price. Imports no widget and no notebook."""
