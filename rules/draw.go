package rules

import (
	"math"

	"pocketgauge/rules/quantity"
)

type Draw struct {
	Direction Place3
	Draft     Draft
	// Undercut limits: what lies behind steel when the mould opens.
	UndercutDepthMM   Limit
	UndercutVolumeMM3 Limit
}

type Draft struct {
	Least    Limit // radians
	ByFinish []FinishDraft
	// PerTextureDepth is the further angle per length of texture depth, radians per mm.
	PerTextureDepth Limit
	// ZeroAreaMM2: a face without draft is let pass up to this area.
	ZeroAreaMM2 Limit
}

type FinishDraft struct {
	Finish Text
	Least  Limit
	Origin Origin
}

func (w *Draw) keys() []key {
	return []key{
		direction("direction", &w.Direction, `The way the part leaves the insert, in pocket coordinates.`).orDefault("[0, 0, 1]", "up out of the pocket"),
		section("draft", `Tilt of the detail's faces against the draw.`, w.Draft.keys()...),
		section("undercut", `What lies behind metal as the mould opens.`,
			limit("depth", &w.UndercutDepthMM, quantity.Length, `Depth of an undercut that the part still slips over.`).
				orDefault("0 mm", "a straight draw has none"),
			limit("volume", &w.UndercutVolumeMM3, quantity.Volume, `Volume of an undercut that is let pass.`).
				orDefault("0 mm3", "a straight draw has none"),
		),
	}
}

func (t *Draft) keys() []key {
	return []key{
		limit("least", &t.Least, quantity.Angle, `Least angle between a face of the detail and the draw. Design guides give 0.5 deg as the
			least and 1 deg as the usual.`).atMost(math.Pi/2).orDefault("0.5 deg", "the least of published design guides"),
		named("by_finish", &t.ByFinish, (*FinishDraft).keys, func(f *FinishDraft) *Origin { return &f.Origin }, "finish", func(f *FinishDraft) *Text { return &f.Finish },
			`Least draft of faces with a named finish, in place of draft.least.`),
		limit("per_texture_depth", &t.PerTextureDepth, quantity.AnglePerLength, `Further draft for each length of texture depth: a texture is a
			field of small undercuts.`).orDefault("40 deg/mm", "1 deg for each 0.025 mm in resin makers' tooling notes; some say 1.5"),
		limit("zero_draft_area", &t.ZeroAreaMM2, quantity.Area, `Area of faces without draft that is let pass in all, such as short shut-offs.`).
			orDefault("0 mm2", "none is let pass unless the file says so"),
	}
}

func (f *FinishDraft) keys() []key {
	return []key{
		text("finish", &f.Finish, `Name of the finish, as the workspace or the shop's drawings give it.`).required(),
		limit("least", &f.Least, quantity.Angle, `Least draft with this finish.`).atMost(math.Pi / 2).required(),
	}
}

// For is the least draft of a face with a finish: that of the finish where it is listed, else the
// least of all faces.
func (t *Draft) For(finish string) Limit {
	for _, f := range t.ByFinish {
		if f.Finish.Value == finish {
			return f.Least
		}
	}
	return t.Least
}
