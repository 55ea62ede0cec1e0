"""The screens: Home, Floor and Scorecard."""
