def checked_pedigree(text: str) -> str:
    return text
