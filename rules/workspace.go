package rules

import "errors"

// Workspace says which models are which.
type Workspace struct {
	File string
	// Folder is where the workspace file lies; globs and rules paths are relative to it.
	Folder  string
	Entries []Entry
}

// Entry is what is known of the models a glob matches.
type Entry struct {
	Models Text // glob
	Name   Text
	Rules  Text
	// RulesPath is Rules from where the program runs.
	RulesPath string
	Half      Half
	Steel     Text
	Resin     Text
	Finish    Text
	Unit      Text // "mm" or "in", for formats without a unit
	Pair      Text // path of the partner
	Placement Placement
	Origin    Origin

	halfText Text
}

// Placement is how a model is brought into pocket coordinates.
type Placement struct {
	// How is as-modelled, seated, coordinate-system or motion.
	How Text
	// System names a coordinate system of the model's file.
	System Text
	// Move is applied after Turn (degrees about x, then y, then z, as radians here).
	Move, Turn Place3
}

// Model is one model file of a workspace.
type Model struct {
	// Path is from where the program runs, Name for people.
	Path, Name string
	Entry      *Entry
	// Partner is the path of the other half, "" when there is none.
	Partner string
}

// LoadWorkspace reads a workspace file.
func LoadWorkspace(path string) (*Workspace, error) { return nil, errors.ErrUnsupported }

// Resolve lists the models in the workspace's folder: those that an entry matches, in path order,
// and the paths of model files that none matches. The first entry that matches a file wins.
func (w *Workspace) Resolve() (models []Model, unmatched []string, err error) {
	return nil, nil, errors.ErrUnsupported
}
