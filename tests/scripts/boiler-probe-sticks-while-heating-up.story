# The heat goes in and the boiler probe does not move.
begin: heat-up

3:00  boiler-temp sticks
      expect alarm probe-stuck within 6 min
      expect heat off within 90 s
      expect trip protection-lost
