# The liquid has run out at an open drain. The bare element gains 5 K a second; its own probe takes the heat off before
# its limit of 150 °C.

0:05  element-temp rises 5 K/s until 146
      expect heat off within 12 s
      expect alarm element-over-temperature unacknowledged
      expect first-out element-over-temperature
      expect state held
      expect coolant on
      expect receiver hearts open
1:00  element-temp falls 1 K/s until 84
      expect heat off for 2 min
      expect alarm element-over-temperature returned-unacknowledged
      order resume -> refused trip-unacknowledged
      order acknowledge
      order resume
      expect heat on within 10 s
