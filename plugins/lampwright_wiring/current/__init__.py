"""How much current a layout can ask for: of outputs, boards and supplies, in the worst of its legal states."""
