# 50 L stated, 12 L in it: it warms by 5 K a minute, where 5 kW can make 1.3.
begin: heat-up

0:05  boiler-temp rises 5 K/min until 75
      expect heat off within 4 min
      expect trip wrong-charge
      order acknowledge
      wait 40 s
      order resume
      boiler-temp rises 1.2 K/min
      expect heat on within 10 s
