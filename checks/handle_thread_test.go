package checks_test

import (
	"testing"
)

func TestSpecimensOfHandleThread(t *testing.T) {
	bolted := eyebolt()
	specimens(t, "handle.thread",
		specimen{clean, "under the load constant of NIOSH, 23 kg", of(t, handled(t, "", plain()), "handle.thread"), "", plainMassKG, 1e-9},
		specimen{defective, "1.5 kg may be lifted without", of(t, handled(t, "handling: {lifting_thread_above: 1.5 kg}\n", plain()), "handle.thread"), "", plainMassKG, 1e-9},
		specimen{defective, "a hole is no thread", of(t, handled(t, "handling: {lifting_thread_above: 1.5 kg, lifting_thread: M12}\n", bolted.Mesh), "handle.thread"), "", bolted.Faceted.VolumeMM3 * 7.83e-6, 1e-9},
		specimen{looksWrong, "too heavy by hand, and has its thread", of(t, handled(t, "handling: {lifting_thread_above: 1.5 kg, lifting_thread: M12}\n"+eyeboltAsked, bolted.Mesh), "handle.thread"), "", bolted.Faceted.VolumeMM3 * 7.83e-6, 1e-9},
	)
}
