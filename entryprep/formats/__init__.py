"""Recipes in the open formats BeerJSON 1.0 and BeerXML 1.0."""
