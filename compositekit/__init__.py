"""compositekit: from a brief and a mould to an infused sandwich part that comes out right the first time."""
