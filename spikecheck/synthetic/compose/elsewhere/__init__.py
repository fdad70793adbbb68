"""Pictures without a close spike; ``choose.draw_elsewhere`` draws one."""
