"""What ``lampwright wire`` lists of a plan: loads, the schedule of wires, their labels, the parts it takes."""
