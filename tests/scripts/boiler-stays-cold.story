# The element is bare from the beginning and nothing looks at it: the heat goes in, and the boiler slowly cools.
begin: heat-up

0:05  boiler-temp falls 0.2 K/min until 20
      expect heat off within 8 min
      expect trip wrong-charge
      expect state held
