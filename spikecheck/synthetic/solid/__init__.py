"""A prepared spike as a solid, path-traced, with truth from id passes."""
