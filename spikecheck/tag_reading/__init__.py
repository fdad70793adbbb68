"""Finding the printed cross tag in a photo: identity, scale, colour."""
