# The button at the still is enough.
alone: link, power

0:05  nobody answers
      expect alarm attendance-due within 18 min
      button pressed
      expect no alarm attendance-due within 5 s
      expect heat on for 10 min
