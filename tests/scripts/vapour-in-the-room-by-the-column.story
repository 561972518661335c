# The same by the column. Its take-off would close when the run is held; a solenoid that drops can light what is in the
# room, so it keeps its place, and so does the spout when the run is stopped.
still: column
alone: power

0:05  vapour-gas 0.3
      expect heat off within 25 s
      expect trip vapour-leak
      expect take-off open for 2 min
      order stop
      expect take-off open for 2 min
      expect coolant on
