# An hour at total reflux: 4 kWh have gone in and nothing has come over. The charge is not taken for empty.
still: column
begin: heat-up
alone: link, power, acknowledge, silenced

0:05  expect phase equalise within 1.2 h
      expect no trip for 14 min
      expect heat on
