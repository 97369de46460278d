"""The sheet's drawings as SVG: people who walk and climb, and the two soles."""
