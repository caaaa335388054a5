package main

import (
	"fmt"
	"runtime/debug"
)

// memoryUnknown is the budget where the machine does not say what it has.
const memoryUnknown = 4 << 30

// memoryBudget is what all models under way may take together. The collector of garbage is told too,
// so that it works harder before more is taken from the machine.
func memoryBudget(flag string) (int64, error) {
	budget := machineMemory() / 2
	if budget == 0 {
		budget = memoryUnknown
	}
	if flag != "" {
		var err error
		if budget, err = parseBytes(flag); err != nil {
			return 0, fmt.Errorf("--memory: %w", err)
		}
	}
	debug.SetMemoryLimit(budget)
	return budget, nil
}
