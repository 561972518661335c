# 1015 hPa at 420 m is a weather report, not the stillroom.
begin: idle
alone: link, power

0:05  air-pressure 1018
      expect alarm air-pressure-sea-level within 35 min
