"""Fastenings along every seam, and glue, sealer, cloth and paint by area."""
