"""Sentences on what can hurt, printed where the work is told: glue, and lifting and turning. Common practice."""

EPOXY = "Epoxy: gloves and sleeves, fresh air, small lots; read the maker's sheet."
LIFTING = "Lift with help. Turn the hull with help, over padding, with hands and feet clear of it."
