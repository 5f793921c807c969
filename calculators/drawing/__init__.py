"""What several pictures are drawn with: SVG, axes, scales, the reader's words and units.

It uses `shared` alone.
"""
