"""Makes images of prepared spikes with exact truth.

``image.make_image`` draws one, ``draw_set.write_set`` a folder of them, ``kinds.KINDS`` lists
what there is. They are not imported here: drawing needs OpenCV, which starts slowly.
"""
