package rules

// Placement is how a model is brought into pocket coordinates.
type Placement struct {
	// How is as-modelled, seated, system or motion.
	How Text
	// System names a coordinate system of the model's file.
	System Text
	// Turn is applied first, about x, then y, then z (radians, about the fixed axes); then Move.
	Move, Turn Place3
	Origin     Origin
}

// placementForm is a word, or a group that names a coordinate system or a motion.
type placementForm struct{ into *Placement }

// The ways of placing a model.
const (
	AsModelled = "as-modelled"
	Seated     = "seated"
	BySystem   = "system"
	ByMotion   = "motion"
)

func (f placementForm) word(into *Text) textForm {
	return textForm{into: into, choices: []string{AsModelled, Seated}}
}

func (f placementForm) read(d *decoder, n *node, path string) {
	p := Placement{Origin: d.origin(n)}
	if n.kind != mapNode {
		f.word(&p.How).read(d, n, path)
		if p.How.Set {
			*f.into = p
		}
		return
	}
	readKeys(d, n, path, p.keys())
	switch {
	case p.System.Set && (p.Move.Set || p.Turn.Set):
		d.wrong(n, path, "a coordinate system and a motion stand here together", "keep one of the two")
		return
	case p.System.Set:
		p.How = Text{Set: true, Value: BySystem, Origin: p.System.Origin}
	case p.Move.Set || p.Turn.Set:
		p.How = Text{Set: true, Value: ByMotion, Origin: p.Origin}
	case len(n.entries) == 0:
		d.wrong(n, path, "nothing stands here", "write as-modelled, seated, {system: NAME} or {turn: [...], move: [...]}")
		return
	default:
		return
	}
	*f.into = p
}
func (p *Placement) keys() []key {
	return []key{
		text("system", &p.System, `Name of a coordinate system in the model's file that is to become the pocket's.`),
		angles3("turn", &p.Turn, `Turn about the fixed x, then y, then z axis through the model's origin.`),
		place3("move", &p.Move, `Move, after the turn.`),
	}
}
func (f placementForm) isSet() bool               { return f.into.How.Set }
func (f placementForm) clear()                    { *f.into = Placement{} }
func (f placementForm) complete(*decoder, string) {}
func (f placementForm) schema() object {
	system, motion := keysSchema(f.below()[:1]), keysSchema(f.below()[1:])
	system["required"], motion["minProperties"] = []any{"system"}, 1
	return object{"anyOf": []any{f.word(new(Text)).schema(), system, motion}}
}
func (f placementForm) about() string { return AsModelled + " / " + Seated + " / group" }
func (f placementForm) below() []key  { return new(Placement).keys() }
func (f placementForm) rows(path, doc string, emit func(Row)) {
	emit(Row{Key: path, Value: f.into.How.Value, Origin: f.into.Origin, Doc: doc})
	rowsOf(path, f.into.keys(), emit)
}
