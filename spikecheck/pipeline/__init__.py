"""The order of the stages: photos in, check result out."""

from spikecheck.pipeline.check import check_files, check_photos
from spikecheck.pipeline.result_entry import result_entry
from spikecheck.pipeline.result_schema import result_schema

__all__ = ["check_files", "check_photos", "result_entry", "result_schema"]
