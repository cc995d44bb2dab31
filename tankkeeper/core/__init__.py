"""The pure rules: tanks, chores, water and dates, with no Qt, no database and no clock."""
