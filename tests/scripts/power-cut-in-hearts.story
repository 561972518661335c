# Three minutes without power in hearts. The valves went where they go without power; the run comes back held, with the
# coolant on, and goes on only by order, into feints first.
alone: link, power

0:05  power cut
3:05  power back
      expect state held
      expect heat off for 5 min
      expect coolant on
      order resume
      expect heat on within 20 s
      expect receiver feints open within 30 s
      expect receiver hearts closed within 30 s
      expect phase hearts
