"""The order of the stages: photos in, check result out."""
