"""Views with hidden lines, dimensions, sheets, DXF; boards, rods and details drawn to scale.

A figure is drawn once at full size (``paper.Figure``); sheets place it at a scale, DXF as it is. Its sizes come from
the model, never from the picture. ``whole.drawing_set`` gives every sheet.
"""
