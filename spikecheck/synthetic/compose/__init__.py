"""Makes photos with truth and class maps out of rendered layers: backgrounds, things, faults.

``photo.compose_photo`` makes one, ``folder.write_photos`` a folder of them; on the command line
``python -m spikecheck.synthetic.compose LAYERS OUT --seed S --per-layer K``.
"""
