package checks_test

import (
	"testing"
)

func TestSpecimensOfPressHeight(t *testing.T) {
	specimens(t, "press.height",
		specimen{clean, "each half stands 0.03 proud", pressed(t, "press.height", "frame_height: 260, shut_height: {least: 200, most: 300}", ""), "", 260.06, 1e-9},
		specimen{defective, "what the inserts add is too much", pressed(t, "press.height", "frame_height: 299.97, shut_height: {least: 200, most: 300}", ""), "", 300.03, 1e-9},
		specimen{looksWrong, "a twentieth under the most", pressed(t, "press.height", "frame_height: 299.89, shut_height: {least: 200, most: 300}", ""), "", 299.95, 1e-9},
	)
}
