"""Tables for controllers: what every signal can be told, in the numbers of its boards and buses."""
