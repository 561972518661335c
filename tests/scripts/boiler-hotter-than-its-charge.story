# Low wines of 30 % vol were stated; what boils at 97.5 °C in the heads is wine, or there is pressure.
begin: heads

0:10  boiler-temp 97.5
      expect heat off within 45 s
      expect trip boiler-above-bubble
