# Someone pours cold water over the still. An air path is kept, whatever the valves were told.
begin: cool-down

0:05  boiler-pressure -26
      expect alarm vacuum within 10 s
      expect coolant on
      expect receiver feints open
      expect heat off
      boiler-pressure 0
      order acknowledge
