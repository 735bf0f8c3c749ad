"""The season planned: where every beer can go, which entries are worth their bottles and money, and by when."""
