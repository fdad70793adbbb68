"""What stands behind the spike, one file a family; ``choose.draw_background`` draws one."""
