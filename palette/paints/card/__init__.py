"""The card for measuring one's own paints: printed, and read back from photographs.

Printed by layout, marks, charts and pdf; read by names, sheet, light, anchors, box and reading.
"""
