"""PDFs: slips, packing and shipping lists, fit sheets."""
