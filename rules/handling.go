package rules

import (
	"pocketgauge/rules/quantity"
)

type Handling struct {
	LiftingThreadAboveKG Limit
	LiftingThread        Text
	MassKG               Limit
	TiltMM               Limit
}

func (h *Handling) keys() []key {
	return []key{
		limit("lifting_thread_above", &h.LiftingThreadAboveKG, quantity.Mass, `Mass above which the insert must have a thread to lift it by. No rule
			of this kind replaces the risk assessment of the shop.`).positive().
			orDefault("23 kg", "load constant of the revised NIOSH lifting equation, DHHS (NIOSH) Publication 94-110: an upper reference under ideal conditions, not a safe load"),
		text("lifting_thread", &h.LiftingThread, `Thread of the eyebolt, such as M12.`),
		limit("mass", &h.MassKG, quantity.Mass, `Most that an insert may weigh: what the hoist of the press bears.`).positive(),
		limit("tilt", &h.TiltMM, quantity.Length, `How far the centre of gravity may lie from the lifting thread's axis, so that the insert hangs
			straight enough to enter the pocket.`),
	}
}
