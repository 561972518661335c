# Solids raise the boiling point by 3 K, a clean boiler by one more, and the head stands 6 hPa of back-pressure.
begin: hearts
alone: link, power, acknowledge, silenced

0:05  boiler-temp rises 0.5 K/min until 89.5
      boiler-pressure 6
      expect no trip for 20 min
      expect heat on
