package rules

// Row is one value in force, as a person reads it.
type Row struct {
	// Key is the dotted path, such as "steel.wall.any" or "zones[clamp slot left].must".
	Key string
	// Value is the number or word alone, Unit its unit ("" for none).
	Value, Unit string
	Origin      Origin
	// Doc is the key's first sentence.
	Doc string
}

// Show lists every value in force, in the order of the reference table.
func Show(f *Frame) []Row { return nil }

// Schema is the JSON Schema (draft 2020-12) of a frame's rules file.
func Schema() []byte { return nil }
